using System.Numerics;
using System.Runtime.InteropServices;

namespace Offtape.Signal;

/// <summary>Sum of products of two runs, over as many lanes as the processor has.</summary>
public static class DotProduct
{
    /// <inheritdoc cref="Sum{T}"/>
    public static float Of(ReadOnlySpan<float> a, ReadOnlySpan<float> b) => Sum(a, b);

    /// <inheritdoc cref="Sum{T}"/>
    public static double Of(ReadOnlySpan<double> a, ReadOnlySpan<double> b) => Sum(a, b);

    /// <exception cref="ArgumentException">The lengths differ.</exception>
    private static T Sum<T>(ReadOnlySpan<T> a, ReadOnlySpan<T> b)
        where T : unmanaged, INumber<T>
    {
        if (a.Length != b.Length)
            throw new ArgumentException("Both runs must be equally long.", nameof(b));
        var va = MemoryMarshal.Cast<T, Vector<T>>(a);
        var vb = MemoryMarshal.Cast<T, Vector<T>>(b);
        var (sum0, sum1) = (Vector<T>.Zero, Vector<T>.Zero);
        var i = 0;
        for (; i + 1 < va.Length; i += 2)
        {
            sum0 += va[i] * vb[i];
            sum1 += va[i + 1] * vb[i + 1];
        }
        if (i < va.Length)
            sum0 += va[i] * vb[i];
        var sum = Vector.Sum(sum0 + sum1);
        for (var k = va.Length * Vector<T>.Count; k < a.Length; k++)
            sum += a[k] * b[k];
        return sum;
    }
}
