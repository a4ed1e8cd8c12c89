namespace Offtape.Signal;

/// <summary>
/// What stands about one frequency of a signal, turned down to 0 Hz: magnitude is the envelope (peak) of a tone there, the change of phase its
/// frequency. Zero phase: nothing is late. For stretches that are all in memory.
/// </summary>
/// <param name="Re">Real part, at <paramref name="RateHz"/>.</param>
/// <param name="Im">Imaginary part.</param>
/// <param name="RateHz">Values in a second; the first belongs to the first frame of the signal.</param>
/// <param name="CentreHz">The frequency that stands at 0 Hz.</param>
public sealed record Baseband(double[] Re, double[] Im, double RateHz, double CentreHz)
{
    // Beside the flat band the gain falls as a raised cosine over this share of its half width, so that edges ring little.
    private const double SkirtShare = 0.5;

    public int Count => Re.Length;

    /// <summary>Takes a band out of a signal by its spectrum.</summary>
    /// <param name="signal">At least one frame. It is taken as silent before and after, so a tone that is cut there rings within 1/half width.</param>
    /// <param name="sampleRateHz">Its rate.</param>
    /// <param name="centreHz">Middle of the band.</param>
    /// <param name="halfWidthHz">Flat as far as this to either side; half as far again it is nothing.</param>
    public static Baseband Of(ReadOnlySpan<float> signal, double sampleRateHz, double centreHz, double halfWidthHz)
    {
        if (signal.IsEmpty)
            throw new ArgumentException("A signal of at least one frame.", nameof(signal));
        var transform = new RealTransform(TransformLength.AtLeast(Math.Max(64, signal.Length)));
        var padded = new float[transform.Length];
        signal.CopyTo(padded);
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        transform.Forward(padded, re, im);

        var binHz = sampleRateHz / transform.Length;
        var centre = (int)Math.Round(centreHz / binHz);
        var reach = (int)Math.Ceiling(halfWidthHz * (1 + SkirtShare) / binHz);
        var small = new ComplexTransform(Math.Min(transform.Length, TransformLength.AtLeast(Math.Max(32, 2 * reach + 2))));
        var (bandRe, bandIm) = (new float[small.Length], new float[small.Length]);
        // Twice the positive frequencies make the analytic signal; the factor of the shorter inverse makes up for its length.
        var scale = 2.0 * small.Length / transform.Length;
        for (var offset = -Math.Min(reach, small.Length / 2 - 1); offset <= Math.Min(reach, small.Length / 2 - 1); offset++)
        {
            var k = centre + offset;
            if (k <= 0 || k >= re.Length - 1)
                continue;
            var gain = scale * Gain(Math.Abs(offset) * binHz / halfWidthHz);
            var at = offset < 0 ? offset + small.Length : offset;
            (bandRe[at], bandIm[at]) = ((float)(gain * re[k]), (float)(gain * im[k]));
        }
        small.Inverse(bandRe, bandIm);
        var rateHz = sampleRateHz * small.Length / transform.Length;
        var count = Math.Min(small.Length, (int)Math.Ceiling(signal.Length * rateHz / sampleRateHz));
        return new Baseband(
            Array.ConvertAll(bandRe[..count], v => (double)v),
            Array.ConvertAll(bandIm[..count], v => (double)v),
            rateHz,
            centre * binHz
        );
    }

    /// <summary>The envelope: the peak of a tone, moment by moment.</summary>
    public double[] Magnitude()
    {
        var magnitude = new double[Count];
        for (var i = 0; i < magnitude.Length; i++)
            magnitude[i] = Math.Sqrt(Re[i] * Re[i] + Im[i] * Im[i]);
        return magnitude;
    }

    private static double Gain(double share) =>
        share <= 1 ? 1
        : share >= 1 + SkirtShare ? 0
        : 0.5 + 0.5 * Math.Cos(Math.PI * (share - 1) / SkirtShare);
}
