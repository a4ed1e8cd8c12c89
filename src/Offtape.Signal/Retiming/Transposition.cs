using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace Offtape.Signal;

/// <summary>Eight rows of eight floats turned into eight columns.</summary>
internal static class Transposition
{
    /// <summary>Whether the processor has the shuffles; else callers move one float at a time.</summary>
    public static bool IsSupported => Avx.IsSupported;

    /// <summary>Rows lie `apart` floats from each other in `from`, and `toApart` in `to`.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void OfEight(ref float from, nuint apart, ref float to, nuint toApart)
    {
        var a = Vector256.LoadUnsafe(ref from);
        var b = Vector256.LoadUnsafe(ref from, apart);
        var c = Vector256.LoadUnsafe(ref from, 2 * apart);
        var d = Vector256.LoadUnsafe(ref from, 3 * apart);
        var e = Vector256.LoadUnsafe(ref from, 4 * apart);
        var f = Vector256.LoadUnsafe(ref from, 5 * apart);
        var g = Vector256.LoadUnsafe(ref from, 6 * apart);
        var h = Vector256.LoadUnsafe(ref from, 7 * apart);
        var (ab0, ab2) = (Avx.UnpackLow(a, b), Avx.UnpackHigh(a, b));
        var (cd0, cd2) = (Avx.UnpackLow(c, d), Avx.UnpackHigh(c, d));
        var (ef0, ef2) = (Avx.UnpackLow(e, f), Avx.UnpackHigh(e, f));
        var (gh0, gh2) = (Avx.UnpackLow(g, h), Avx.UnpackHigh(g, h));
        // Columns k and k + 4 of rows a to d, then of e to h.
        var (upper0, upper1) = (Avx.Shuffle(ab0, cd0, 0x44), Avx.Shuffle(ab0, cd0, 0xEE));
        var (upper2, upper3) = (Avx.Shuffle(ab2, cd2, 0x44), Avx.Shuffle(ab2, cd2, 0xEE));
        var (lower0, lower1) = (Avx.Shuffle(ef0, gh0, 0x44), Avx.Shuffle(ef0, gh0, 0xEE));
        var (lower2, lower3) = (Avx.Shuffle(ef2, gh2, 0x44), Avx.Shuffle(ef2, gh2, 0xEE));
        Avx.Permute2x128(upper0, lower0, 0x20).StoreUnsafe(ref to);
        Avx.Permute2x128(upper1, lower1, 0x20).StoreUnsafe(ref to, toApart);
        Avx.Permute2x128(upper2, lower2, 0x20).StoreUnsafe(ref to, 2 * toApart);
        Avx.Permute2x128(upper3, lower3, 0x20).StoreUnsafe(ref to, 3 * toApart);
        Avx.Permute2x128(upper0, lower0, 0x31).StoreUnsafe(ref to, 4 * toApart);
        Avx.Permute2x128(upper1, lower1, 0x31).StoreUnsafe(ref to, 5 * toApart);
        Avx.Permute2x128(upper2, lower2, 0x31).StoreUnsafe(ref to, 6 * toApart);
        Avx.Permute2x128(upper3, lower3, 0x31).StoreUnsafe(ref to, 7 * toApart);
    }
}
