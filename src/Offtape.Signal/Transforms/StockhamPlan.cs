namespace Offtape.Signal;

/// <summary>
/// The passes of one complex Fourier transform of 2^k points, autosorting (Stockham, decimation in frequency): each pass reads one pair of
/// arrays and writes another, and no bit reversal is needed. Forward only; the inverse is the forward transform with real and imaginary
/// parts exchanged.
/// </summary>
internal sealed class StockhamPlan
{
    private readonly float[] cosine;
    private readonly float[] sine;

    public StockhamPlan(int length)
    {
        Length = length;
        cosine = new float[length / 2];
        sine = new float[length / 2];
        for (var i = 0; i < cosine.Length; i++)
        {
            // Each entry from the library's own cosine and sine: recursion would lose 60 dB (errors add up along the table).
            var (s, c) = Math.SinCos(-2 * Math.PI * i / length);
            cosine[i] = (float)c;
            sine[i] = (float)s;
        }
    }

    public int Length { get; }

    /// <summary>Transforms in place, with scratch arrays of the same length.</summary>
    public void Forward(Span<float> re, Span<float> im, Span<float> scratchRe, Span<float> scratchIm)
    {
        var sourceRe = re;
        var sourceIm = im;
        var targetRe = scratchRe;
        var targetIm = scratchIm;
        var inScratch = false;
        for (int n = Length, stride = 1; n > 1; n /= 2, stride *= 2)
        {
            var half = n / 2;
            for (var p = 0; p < half; p++)
            {
                var wr = cosine[p * stride];
                var wi = sine[p * stride];
                for (var q = 0; q < stride; q++)
                {
                    var a = q + stride * p;
                    var b = a + Length / 2;
                    var (ar, ai, br, bi) = (sourceRe[a], sourceIm[a], sourceRe[b], sourceIm[b]);
                    var o = q + 2 * stride * p;
                    targetRe[o] = ar + br;
                    targetIm[o] = ai + bi;
                    var (dr, di) = (ar - br, ai - bi);
                    targetRe[o + stride] = dr * wr - di * wi;
                    targetIm[o + stride] = dr * wi + di * wr;
                }
            }
            var swapRe = sourceRe;
            sourceRe = targetRe;
            targetRe = swapRe;
            var swapIm = sourceIm;
            sourceIm = targetIm;
            targetIm = swapIm;
            inScratch = !inScratch;
        }
        if (inScratch)
        {
            scratchRe[..Length].CopyTo(re);
            scratchIm[..Length].CopyTo(im);
        }
    }
}
