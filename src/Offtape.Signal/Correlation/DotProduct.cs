using System.Numerics;
using System.Runtime.InteropServices;

namespace Offtape.Signal;

/// <summary>Sum of products of two runs, over as many lanes as the processor has.</summary>
public static class DotProduct
{
    /// <exception cref="ArgumentException">The lengths differ.</exception>
    public static float Of(ReadOnlySpan<float> a, ReadOnlySpan<float> b)
    {
        if (a.Length != b.Length)
            throw new ArgumentException("Both runs must be equally long.", nameof(b));
        var va = MemoryMarshal.Cast<float, Vector<float>>(a);
        var vb = MemoryMarshal.Cast<float, Vector<float>>(b);
        var (sum0, sum1) = (Vector<float>.Zero, Vector<float>.Zero);
        var i = 0;
        for (; i + 1 < va.Length; i += 2)
        {
            sum0 += va[i] * vb[i];
            sum1 += va[i + 1] * vb[i + 1];
        }
        if (i < va.Length)
            sum0 += va[i] * vb[i];
        var sum = Vector.Sum(sum0 + sum1);
        for (var k = va.Length * Vector<float>.Count; k < a.Length; k++)
            sum += a[k] * b[k];
        return sum;
    }

    /// <inheritdoc cref="Of(ReadOnlySpan{float}, ReadOnlySpan{float})"/>
    public static double Of(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        if (a.Length != b.Length)
            throw new ArgumentException("Both runs must be equally long.", nameof(b));
        var va = MemoryMarshal.Cast<double, Vector<double>>(a);
        var vb = MemoryMarshal.Cast<double, Vector<double>>(b);
        var (sum0, sum1) = (Vector<double>.Zero, Vector<double>.Zero);
        var i = 0;
        for (; i + 1 < va.Length; i += 2)
        {
            sum0 += va[i] * vb[i];
            sum1 += va[i + 1] * vb[i + 1];
        }
        if (i < va.Length)
            sum0 += va[i] * vb[i];
        var sum = Vector.Sum(sum0 + sum1);
        for (var k = va.Length * Vector<double>.Count; k < a.Length; k++)
            sum += a[k] * b[k];
        return sum;
    }
}
