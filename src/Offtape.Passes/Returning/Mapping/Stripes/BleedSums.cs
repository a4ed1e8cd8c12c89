namespace Offtape.Passes.Mapping;

/// <summary>Products of stripe and channel over short stretches, band by band, and the response they say together.</summary>
internal sealed class BleedSums
{
    // As of overlapping Hann windows: neighbours in time and frequency share what they hear.
    private const double SharedEvidence = 1.94;
    private const int Rounds = 3;

    private readonly List<Band[]> _stretches = [];
    private Band[] _open = New();

    internal struct Band
    {
        internal double CrossRe;
        internal double CrossIm;
        internal double StripePower;
        internal double ChannelPower;
        internal int Bins;
    }

    internal void Add(int band, double stripeRe, double stripeIm, double channelRe, double channelIm)
    {
        ref var sum = ref _open[band];
        sum.CrossRe += channelRe * stripeRe + channelIm * stripeIm;
        sum.CrossIm += channelIm * stripeRe - channelRe * stripeIm;
        sum.StripePower += stripeRe * stripeRe + stripeIm * stripeIm;
        sum.ChannelPower += channelRe * channelRe + channelIm * channelIm;
        sum.Bins++;
    }

    /// <summary>Ends a stretch: within one, the response stands still.</summary>
    internal void Close()
    {
        _stretches.Add(_open);
        _open = New();
    }

    /// <summary>
    /// Least squares over the stretches, each weighted by what is heard there beside the stripe, so that pauses decide; drawn towards nothing
    /// by its own variance. What is left: that variance, and by how much single stretches differ from the whole beyond theirs (the tracks'
    /// wander against each other).
    /// </summary>
    internal (BleedResponse Response, double Explained, double[] Before, double[] Left) Solve()
    {
        var bands = BleedResponse.BandCount;
        var (re, im) = (new double[bands], new double[bands]);
        var (before, left) = (new double[bands], new double[bands]);
        var explained = 0.0;
        for (var b = 0; b < bands; b++)
        {
            double sumRe = 0,
                sumIm = 0,
                weight = 0;
            for (var round = 0; round < Rounds; round++)
            {
                var (presentRe, presentIm) = weight > 0 ? (sumRe / weight, sumIm / weight) : (0, 0);
                (sumRe, sumIm, weight) = (0, 0, 0);
                foreach (var stretch in _stretches)
                {
                    var s = stretch[b];
                    if (s.StripePower <= 0)
                        continue;
                    var noise = Noise(s, presentRe, presentIm);
                    (sumRe, sumIm, weight) = (sumRe + s.CrossRe / noise, sumIm + s.CrossIm / noise, weight + s.StripePower / noise);
                }
            }
            if (weight <= 0)
                continue;
            var (meanRe, meanIm, variance) = (sumRe / weight, sumIm / weight, SharedEvidence / weight);
            var power = meanRe * meanRe + meanIm * meanIm;
            var keep = Math.Max(0, 1 - variance / Math.Max(power, 1e-300));
            (re[b], im[b]) = (keep * meanRe, keep * meanIm);
            explained += power / variance;
            before[b] = Math.Max(0, power - variance);
            left[b] = keep * variance + (1 - keep) * (1 - keep) * power + Movement(b, meanRe, meanIm);
        }
        return (new BleedResponse { Re = re, Im = im }, explained, before, left);
    }

    private double Movement(int b, double re, double im)
    {
        double sum = 0,
            weights = 0;
        foreach (var stretch in _stretches)
        {
            var s = stretch[b];
            if (s.StripePower <= 0)
                continue;
            var variance = SharedEvidence * Noise(s, re, im) / s.StripePower;
            var (awayRe, awayIm) = (s.CrossRe / s.StripePower - re, s.CrossIm / s.StripePower - im);
            sum += (awayRe * awayRe + awayIm * awayIm) / variance - 1;
            weights += 1 / variance;
        }
        return weights > 0 ? Math.Max(0, sum / weights) : 0;
    }

    // Power of a bin of the channel beside the stripe.
    private static double Noise(Band s, double re, double im)
    {
        var rest = s.ChannelPower - 2 * (re * s.CrossRe + im * s.CrossIm) + (re * re + im * im) * s.StripePower;
        return Math.Max(rest, 1e-3 * s.ChannelPower) / s.Bins + 1e-20;
    }

    private static Band[] New() => new Band[BleedResponse.BandCount];
}
