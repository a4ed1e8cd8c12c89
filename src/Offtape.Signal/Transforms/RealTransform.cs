namespace Offtape.Signal;

/// <summary>
/// Discrete Fourier transform of 2^1 to 2^24 real values. X[k] = Σ x[n]·e^(−2πikn/N) for k = 0 to N/2; the rest is the mirror image.
/// An instance holds its scratch: use one in each thread.
/// </summary>
public sealed class RealTransform
{
    private readonly StockhamPlan plan;
    private readonly float[] cosine;
    private readonly float[] sine;
    private readonly float[] re2;
    private readonly float[] im2;
    private readonly float[] scratchRe;
    private readonly float[] scratchIm;

    /// <param name="length">A power of two from 2 to 2^24.</param>
    /// <exception cref="ArgumentOutOfRangeException">The length is not one of these.</exception>
    public RealTransform(int length)
    {
        TransformLength.Check(length);
        Length = length;
        var half = length / 2;
        plan = new StockhamPlan(half);
        cosine = new float[half + 1];
        sine = new float[half + 1];
        for (var k = 0; k <= half; k++)
        {
            var (s, c) = Math.SinCos(-2 * Math.PI * k / length);
            cosine[k] = (float)c;
            sine[k] = (float)s;
        }
        re2 = new float[half];
        im2 = new float[half];
        scratchRe = new float[half];
        scratchIm = new float[half];
    }

    public int Length { get; }

    /// <summary>Length/2 + 1: from 0 Hz to the Nyquist frequency, both included.</summary>
    public int BinCount => Length / 2 + 1;

    /// <summary>The spectrum of <see cref="Length"/> samples, <see cref="BinCount"/> values in each of re and im; not normalised.</summary>
    public void Forward(ReadOnlySpan<float> input, Span<float> re, Span<float> im)
    {
        var half = Length / 2;
        input = input[..Length];
        for (var i = 0; i < half; i++)
        {
            re2[i] = input[2 * i];
            im2[i] = input[2 * i + 1];
        }
        plan.Forward(re2, im2, scratchRe, scratchIm);
        re = re[..BinCount];
        im = im[..BinCount];
        for (var k = 0; k <= half; k++)
        {
            // Z = E + iO, where E and O are the spectra of the even and the odd samples: X[k] = E[k] + w^k·O[k].
            var (zr, zi) = (re2[k % half], im2[k % half]);
            var (yr, yi) = (re2[(half - k) % half], -im2[(half - k) % half]);
            var (er, ei) = (0.5f * (zr + yr), 0.5f * (zi + yi));
            var (or, oi) = (0.5f * (zi - yi), -0.5f * (zr - yr));
            re[k] = er + (cosine[k] * or - sine[k] * oi);
            im[k] = ei + (cosine[k] * oi + sine[k] * or);
        }
    }

    /// <summary>
    /// The real samples of a spectrum, with the factor 1/N: Inverse after Forward gives back the input. The imaginary parts at 0 Hz and at
    /// the Nyquist frequency are taken as zero.
    /// </summary>
    public void Inverse(ReadOnlySpan<float> re, ReadOnlySpan<float> im, Span<float> output)
    {
        var half = Length / 2;
        re = re[..BinCount];
        im = im[..BinCount];
        output = output[..Length];
        var scale = 1f / Length;
        for (var k = 0; k < half; k++)
        {
            var (xr, xi) = (re[k], k == 0 ? 0 : im[k]);
            var (yr, yi) = (re[half - k], k == 0 ? 0 : -im[half - k]);
            var (er, ei) = (xr + yr, xi + yi);
            var (dr, di) = (xr - yr, xi - yi);
            var (or, oi) = (cosine[k] * dr + sine[k] * di, cosine[k] * di - sine[k] * dr);
            re2[k] = scale * (er - oi);
            im2[k] = scale * (ei + or);
        }
        plan.Forward(im2, re2, scratchIm, scratchRe);
        for (var i = 0; i < half; i++)
        {
            output[2 * i] = re2[i];
            output[2 * i + 1] = im2[i];
        }
    }
}
