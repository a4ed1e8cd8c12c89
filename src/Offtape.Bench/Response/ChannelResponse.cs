using Offtape.Base;

namespace Offtape.Bench;

/// <summary>Response of one channel at one level, against 1 kHz, from every sweep that the channel had at that level.</summary>
internal sealed record ChannelResponse
{
    // Modulation noise, dropouts and what wobble is left change a level from one place of the sweep to another: standard uncertainty of a
    // third of an octave against another, measured over the simulated machines.
    private const double RepeatabilityDb = 0.005;

    // An octave: 60 ms of dropout, and what the window makes of it in the bass.
    private const int WidestGap = 6 * BandGrid.HalfThird;
    private const double BridgedDb = 0.08;

    /// <summary>Below this the wobble is not followed.</summary>
    internal const double FollowedFromHz = 170;

    internal required int Channel { get; init; }

    internal required double LevelDb { get; init; }

    internal required double[] Hz { get; init; }

    /// <summary>Means over a third of an octave against that about 1 kHz, in dB; not a number where it cannot be had.</summary>
    internal required double[] ThirdsDb { get; init; }

    /// <summary>Standard uncertainty of <see cref="ThirdsDb"/>.</summary>
    internal required double[] ThirdsSigmaDb { get; init; }

    /// <summary>As fine as the sweep allows, against the same reference.</summary>
    internal required double[] FineDb { get; init; }

    internal required double[] FineSigmaDb { get; init; }

    /// <summary>Gain at 1 kHz, full scale to full scale, linear.</summary>
    internal required double ReferenceGain { get; init; }

    /// <param name="sweeps">Of one channel and level; at least one.</param>
    /// <param name="bassSpreadDb">How much the bass of one sweep differs from that of the next, as a standard deviation; null where it is not known.</param>
    /// <param name="shapeDb">What all the channel's sweeps have in common at the same frequencies; empty where they are too few.</param>
    /// <returns>Null where 1 kHz itself is lost.</returns>
    internal static ChannelResponse? Of(IReadOnlyList<SweepReading> sweeps, double? bassSpreadDb, double[] shapeDb)
    {
        var hz = sweeps[0].Hz;
        var (power, variance) = (new double[hz.Length], new double[hz.Length]);
        var counts = new int[hz.Length];
        foreach (var sweep in sweeps)
        {
            var (p, v) = (sweep.Power(1), sweep.PowerVariance(1));
            for (var k = 0; k < hz.Length; k++)
            {
                if (!sweep.IsFollowed[k])
                    continue;
                power[k] += p[k];
                variance[k] += v[k];
                counts[k]++;
            }
        }
        for (var k = 0; k < hz.Length; k++)
        {
            power[k] = counts[k] == 0 ? double.NaN : power[k] / counts[k];
            variance[k] = counts[k] == 0 ? double.NaN : variance[k] / counts[k] / counts[k];
        }
        Bridge(power, variance, shapeDb);
        var thirds = BandGrid.Thirds(power);
        var thirdsVariance = BandGrid.Thirds(variance);
        for (var k = 0; k < hz.Length; k++)
        {
            // Neighbours on the grid are as good as independent where each is averaged over its own twenty-fourth of an octave, less so below.
            var third = hz[k] * (Math.Pow(10, 0.05) - Math.Pow(10, -0.05));
            thirdsVariance[k] *= Math.Min(1, sweeps[0].WidthHz[0][k] / third);
        }
        var middle = BandGrid.Nearest(hz, 1000);
        var (reference, referenceVariance) = (thirds[middle], thirdsVariance[middle]);
        if (!(reference > 2 * Math.Sqrt(referenceVariance)))
            return null;
        var referenceRelative = referenceVariance / (reference * reference);
        var unfollowed = bassSpreadDb is { } spread
            ? spread / Math.Sqrt(sweeps.Count)
            : Math.Sqrt(sweeps.Sum(s => Math.Pow(s.UnfollowedSigmaDb(FollowedFromHz), 2))) / sweeps.Count;
        return new ChannelResponse
        {
            Channel = sweeps[0].Channel,
            LevelDb = sweeps[0].Part.LevelDb,
            Hz = hz,
            ThirdsDb = Decibels(thirds, thirdsVariance, reference),
            ThirdsSigmaDb = Sigma(hz, thirds, thirdsVariance, referenceRelative, RepeatabilityDb, unfollowed),
            FineDb = Decibels(power, variance, reference),
            FineSigmaDb = Sigma(hz, power, variance, referenceRelative, 2 * RepeatabilityDb, 2 * unfollowed),
            ReferenceGain = Math.Sqrt(reference),
        };
    }

    /// <summary>Level at a frequency by straight lines over the logarithm of frequency; not a number outside.</summary>
    internal double ThirdsAt(double frequencyHz) => At(ThirdsDb, frequencyHz);

    internal double SigmaAt(double frequencyHz) => At(ThirdsSigmaDb, frequencyHz);

    private double At(double[] values, double frequencyHz)
    {
        var place = BandGrid.PerDecade * Math.Log10(frequencyHz / Hz[0]);
        if (!(place >= 0 && place <= Hz.Length - 1))
            return double.NaN;
        var k = Math.Min((int)place, Hz.Length - 2);
        return values[k] + (place - k) * (values[k + 1] - values[k]);
    }

    /// <summary>
    /// What a dropout took, from the channel's other sweeps: their shape, moved to meet this one on either side. Wider gaps stay.
    /// </summary>
    private static void Bridge(double[] power, double[] variance, double[] shapeDb)
    {
        for (var k = 1; k < power.Length; k++)
        {
            if (!double.IsNaN(power[k]) || !(power[k - 1] > 0))
                continue;
            var next = k;
            while (next < power.Length && double.IsNaN(power[next]))
                next++;
            if (next == power.Length || next - k > WidestGap || !(power[next] > 0))
                continue;
            var isShaped = shapeDb.Length == power.Length && !Array.Exists(shapeDb[(k - 1)..(next + 1)], d => !double.IsFinite(d));
            double Shape(int i) => isShaped ? shapeDb[i] : 0;
            var (left, right) = (Conversions.PowerToDb(power[k - 1]) - Shape(k - 1), Conversions.PowerToDb(power[next]) - Shape(next));
            // Without other sweeps only what is narrow is known to be straight.
            if (!isShaped && next - k > BandGrid.HalfThird)
                continue;
            for (var i = k; i < next; i++)
            {
                var share = (i - k + 1.0) / (next - k + 1);
                power[i] = Conversions.DbToPower(left + share * (right - left) + Shape(i));
                var relative = Math.Max(variance[k - 1] / (power[k - 1] * power[k - 1]), variance[next] / (power[next] * power[next]));
                variance[i] = power[i] * power[i] * (relative + Math.Pow(BridgedDb / 4.343, 2));
            }
            k = next;
        }
    }

    private static double[] Decibels(double[] power, double[] variance, double reference)
    {
        var decibels = new double[power.Length];
        for (var k = 0; k < power.Length; k++)
            decibels[k] = power[k] > 2 * Math.Sqrt(variance[k]) ? Conversions.PowerToDb(power[k] / reference) : double.NaN;
        return decibels;
    }

    private static double[] Sigma(
        double[] hz,
        double[] power,
        double[] variance,
        double referenceRelative,
        double repeatability,
        double unfollowed
    )
    {
        var sigma = new double[power.Length];
        for (var k = 0; k < power.Length; k++)
        {
            var relative = variance[k] / (power[k] * power[k]) + referenceRelative;
            // Fades out where following begins.
            var wobble = unfollowed * Math.Clamp((FollowedFromHz - hz[k]) / (0.2 * FollowedFromHz), 0, 1);
            // 10·log10(1 + x) is 4.343·x.
            sigma[k] = power[k] > 0 ? Math.Sqrt(18.86 * relative + repeatability * repeatability + wobble * wobble) : double.NaN;
        }
        return sigma;
    }
}
