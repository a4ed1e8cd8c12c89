namespace Offtape.Bench;

/// <summary>How the delay between two channels wanders, from a steady tone that both carry.</summary>
/// <param name="RmsSeconds">Root mean square about its mean, slower than about 10 Hz, without what noise adds.</param>
/// <param name="ExpandedSeconds">Expanded uncertainty of that, by noise.</param>
/// <param name="CorrelationSeconds">How far apart two moments have to be to say anything new: the integral of its correlation, both ways.</param>
/// <param name="LimitSeconds">What the wander does not exceed where noise hides it.</param>
internal sealed record DelayWander(double RmsSeconds, double ExpandedSeconds, double CorrelationSeconds, double LimitSeconds)
{
    internal const double BlockSeconds = 0.05;

    // What dropouts hide and the blocks smooth away of it; measured on simulated machines.
    private const double MethodShare = 0.005;

    private const int FewestBlocks = 20;
    private const double HalfWidthHz = 100;

    internal static DelayWander? Of(BenchCapture capture, int first, int second, BenchPart part)
    {
        if (HeardTone.Of(capture, first, part, HalfWidthHz) is not { } a || HeardTone.Of(capture, second, part, HalfWidthHz) is not { } b)
            return null;
        var size = Math.Max(2, (int)(BlockSeconds * a.RateHz));
        var count = Math.Min(a.Envelope.Length, b.Envelope.Length) / size;
        if (count < FewestBlocks)
            return null;
        var (delays, noise) = (new double[count], 0.0);
        var omega = 2 * Math.PI * a.Band.CentreHz;
        var last = 0.0;
        for (var k = 0; k < count; k++)
        {
            var (phase, variance) = Phase(a, b, k * size, size);
            // On from the block before: the delay does not jump by half a period.
            last = k == 0 ? phase : last + Math.IEEERemainder(phase - last, 2 * Math.PI);
            delays[k] = -last / omega;
            noise += variance / (omega * omega) / count;
        }
        return Of(delays, noise);
    }

    private static DelayWander Of(double[] delays, double noise)
    {
        var mean = delays.Average();
        var n = delays.Length;
        var total = delays.Sum(d => (d - mean) * (d - mean)) / n;
        var own = Math.Max(0, total - noise);
        var rms = Math.Sqrt(own);
        // Of the variance: its product with the noise, and the noise's own.
        var scatter = Math.Sqrt((4 * own * noise + 2 * noise * noise) / n);
        return new DelayWander(
            rms,
            rms > 0 ? Math.Sqrt(Math.Pow(scatter / rms, 2) + Math.Pow(MethodShare * rms, 2)) : double.NaN,
            Correlation(delays, mean, own),
            Math.Sqrt(own + 2 * scatter)
        );
    }

    private static double Correlation(double[] delays, double mean, double variance)
    {
        var sum = 1.0;
        for (var lag = 1; lag < delays.Length / 3 && variance > 0; lag++)
        {
            var product = 0.0;
            for (var i = 0; i + lag < delays.Length; i++)
                product += (delays[i] - mean) * (delays[i + lag] - mean) / (delays.Length - lag);
            if (product < 0.05 * variance)
                break;
            sum += 2 * Math.Min(1, product / variance);
        }
        return sum * BlockSeconds;
    }

    /// <summary>Phase of the second against the first over a block, and its variance, from the scatter of its four quarters.</summary>
    private static (double Phase, double Variance) Phase(HeardTone a, HeardTone b, int from, int size)
    {
        Span<double> re = stackalloc double[4];
        Span<double> im = stackalloc double[4];
        for (var i = 0; i < size; i++)
        {
            var (ar, ai) = (a.Band.Re[a.FirstIndex + from + i], a.Band.Im[a.FirstIndex + from + i]);
            var (br, bi) = (b.Band.Re[b.FirstIndex + from + i], b.Band.Im[b.FirstIndex + from + i]);
            var quarter = Math.Min(3, 4 * i / size);
            re[quarter] += br * ar + bi * ai;
            im[quarter] += bi * ar - br * ai;
        }
        var (sumRe, sumIm) = (re[0] + re[1] + re[2] + re[3], im[0] + im[1] + im[2] + im[3]);
        var phase = Math.Atan2(sumIm, sumRe);
        // Differences of neighbours: what is slower than the block cancels but for little.
        var scatter = 0.0;
        for (var q = 0; q < 3; q++)
        {
            var step = Math.IEEERemainder(Math.Atan2(im[q + 1], re[q + 1]) - Math.Atan2(im[q], re[q]), 2 * Math.PI);
            scatter += step * step / 6;
        }
        return (phase, scatter / 4);
    }
}
