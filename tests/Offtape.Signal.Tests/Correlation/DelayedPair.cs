namespace Offtape.Signal.Tests;

/// <summary>
/// A white signal of the whole band and its delayed copy, with independent noise in both: made in double by turning a random spectrum, so
/// that any fraction of a frame is exact.
/// </summary>
internal sealed class DelayedPair
{
    private readonly Random random;
    private readonly int window;
    private readonly int maxLag;

    public DelayedPair(int window, int maxLag, int seed)
    {
        (this.window, this.maxLag) = (window, maxLag);
        random = new Random(seed);
        Reference = new float[window];
        Other = new float[window + 2 * maxLag];
    }

    public float[] Reference { get; }

    public float[] Other { get; }

    /// <param name="lagFrames">How late the other is.</param>
    /// <param name="snrDb">Signal against noise in each channel.</param>
    /// <param name="gain">Of the signal in the other channel; negative turns it upside down, 0 leaves nothing in common.</param>
    public void Fill(double lagFrames, double snrDb, double gain = 1)
    {
        var length = (int)System.Numerics.BitOperations.RoundUpToPowerOf2((uint)(2 * Other.Length));
        var (re, im) = (new double[length], new double[length]);
        var (laterRe, laterIm) = (new double[length], new double[length]);
        // One side of a spectrum: the real part of its signal is a white signal of power 1.
        var scale = 1 / Math.Sqrt(length / 2.0);
        for (var k = 1; k < length / 2; k++)
        {
            (re[k], im[k]) = (scale * Gaussian(), scale * Gaussian());
            var (s, c) = Math.SinCos(2 * Math.PI * k * lagFrames / length);
            // The textbook transform runs forwards, e^(−iωn), in which a delay turns the other way.
            (laterRe[k], laterIm[k]) = (re[k] * c - im[k] * s, re[k] * s + im[k] * c);
        }
        var signal = TextbookTransform.Halving(re, im);
        var later = TextbookTransform.Halving(laterRe, laterIm);
        var start = length / 4;
        var noise = Math.Pow(10, -snrDb / 20);
        for (var n = 0; n < window; n++)
            Reference[n] = (float)(signal[start + n].Re + noise * Gaussian());
        for (var n = 0; n < Other.Length; n++)
            Other[n] = (float)(gain * later[start - maxLag + n].Re + noise * Gaussian());
    }

    public double Gaussian() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());

    public double Uniform(double from, double to) => from + (to - from) * random.NextDouble();
}
