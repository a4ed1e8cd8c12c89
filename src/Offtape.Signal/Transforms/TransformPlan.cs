namespace Offtape.Signal;

/// <summary>
/// How one complex forward transform of a given length is carried out: immutable, so that any number of threads may share it. The inverse
/// is the forward transform with real and imaginary parts exchanged. Arrays are handed over as references to their first element, and hold
/// at least <see cref="Length"/> values.
/// </summary>
internal abstract class TransformPlan
{
    protected TransformPlan(int length) => Length = length;

    public int Length { get; }

    /// <summary>The widest vector that this machine has, in floats: 16, 8, 4 or 1.</summary>
    public static int WidestLanes =>
        Lanes16.IsSupported ? 16
        : Lanes8.IsSupported ? 8
        : Lanes4.IsSupported ? 4
        : 1;

    /// <param name="length">A power of two, from 1.</param>
    /// <param name="lanes">Vector width to use: 1, 4, 8 or 16; short transforms take a narrower one by themselves. 0: the widest there is.</param>
    public static TransformPlan Create(int length, int lanes = 0)
    {
        if (lanes == 0)
            lanes = WidestLanes;
        // The first two passes need a quarter of the values to fill a vector.
        while (lanes > 1 && length < 4 * lanes)
            lanes = lanes > 4 ? lanes / 2 : 1;
        return lanes switch
        {
            16 => new StockhamPlan<System.Runtime.Intrinsics.Vector512<float>, Lanes16>(length),
            8 => new StockhamPlan<System.Runtime.Intrinsics.Vector256<float>, Lanes8>(length),
            4 => new StockhamPlan<System.Runtime.Intrinsics.Vector128<float>, Lanes4>(length),
            _ => new StockhamPlan<float, Lanes1>(length),
        };
    }

    /// <summary>
    /// The spectrum of x into a, using b. x may be a itself (in place), but not b.
    /// </summary>
    public abstract void Run(ref float xRe, ref float xIm, ref float aRe, ref float aIm, ref float bRe, ref float bIm);

    /// <summary>The same for the complex values samples[2n] + i·samples[2n + 1]; the samples lie in neither a nor b.</summary>
    public abstract void RunPaired(ref float samples, ref float aRe, ref float aIm, ref float bRe, ref float bIm);

    /// <summary>From a spectrum of half the length to that of the real samples, in place: see <see cref="RealSplit{T, TLanes}"/>.</summary>
    public abstract void Split(ref float re, ref float im, ref float twiddles);

    /// <summary>The way back, from x to a.</summary>
    public abstract void Unsplit(ref float xRe, ref float xIm, ref float aRe, ref float aIm, ref float twiddles);

    /// <summary>samples[2n] = re[n], samples[2n + 1] = im[n].</summary>
    public abstract void Join(ref float re, ref float im, ref float samples);
}
