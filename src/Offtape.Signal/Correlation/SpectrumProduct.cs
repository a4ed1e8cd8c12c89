using System.Numerics;
using System.Runtime.InteropServices;

namespace Offtape.Signal;

/// <summary>Products of two spectra, value by value.</summary>
internal static class SpectrumProduct
{
    /// <summary>product = x·conj(t): what correlates instead of convolving. All of the same length; the product may be x itself.</summary>
    public static void WithConjugate(
        ReadOnlySpan<float> xRe,
        ReadOnlySpan<float> xIm,
        ReadOnlySpan<float> tRe,
        ReadOnlySpan<float> tIm,
        Span<float> productRe,
        Span<float> productIm
    )
    {
        var count = xRe.Length;
        ref var xr = ref MemoryMarshal.GetReference(xRe);
        ref var xi = ref MemoryMarshal.GetReference(xIm[..count]);
        ref var tr = ref MemoryMarshal.GetReference(tRe[..count]);
        ref var ti = ref MemoryMarshal.GetReference(tIm[..count]);
        ref var pr = ref MemoryMarshal.GetReference(productRe[..count]);
        ref var pi = ref MemoryMarshal.GetReference(productIm[..count]);
        var k = 0;
        for (; k <= count - Vector<float>.Count; k += Vector<float>.Count)
        {
            var (a, b) = (Vector.LoadUnsafe(ref xr, (nuint)k), Vector.LoadUnsafe(ref xi, (nuint)k));
            var (c, d) = (Vector.LoadUnsafe(ref tr, (nuint)k), Vector.LoadUnsafe(ref ti, (nuint)k));
            (a * c + b * d).StoreUnsafe(ref pr, (nuint)k);
            (b * c - a * d).StoreUnsafe(ref pi, (nuint)k);
        }
        for (; k < count; k++)
            (productRe[k], productIm[k]) = (xRe[k] * tRe[k] + xIm[k] * tIm[k], xIm[k] * tRe[k] - xRe[k] * tIm[k]);
    }
}
