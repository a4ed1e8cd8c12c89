using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>A steady tone of a channel as it came back: its envelope, moment by moment, and its level without its dropouts.</summary>
internal sealed class HeardTone
{
    /// <summary>Kept off both ends of a tone: its fades, and how far the slates may have missed it.</summary>
    internal const double MarginSeconds = 0.1;

    // The band's own ringing where the stretch is cut.
    private const double RingCycles = 4;

    // Blocks in which the envelope falls this far under its median (0.6 dB) hold a dropout, or its edge, and say nothing of the level.
    private const double DropoutShare = 0.93;

    // What the edges of dropouts still leave in a level; measured on simulated machines.
    private const double EdgesDb = 0.0005;

    // A tone that is there stands this far above what lies beside it.
    private const double LeastOverBeside = 10;

    private HeardTone(Baseband band, int firstIndex, int endIndexExcl, double fromSendSeconds, double sendSecondsPerValue)
    {
        Band = band;
        (FirstIndex, EndIndexExcl) = (firstIndex, endIndexExcl);
        (_fromSendSeconds, _sendSecondsPerValue) = (fromSendSeconds, sendSecondsPerValue);
        Envelope = band.Magnitude()[firstIndex..endIndexExcl];
    }

    private readonly double _fromSendSeconds;
    private readonly double _sendSecondsPerValue;

    internal Baseband Band { get; }

    /// <summary>The part of the band that is free of ringing.</summary>
    internal int FirstIndex { get; }

    internal int EndIndexExcl { get; }

    /// <summary>Peak of the tone, at the band's rate, from <see cref="FirstIndex"/> on.</summary>
    internal double[] Envelope { get; }

    internal double RateHz => Band.RateHz;

    internal double Seconds => Envelope.Length / RateHz;

    /// <summary>When in the send a value of the envelope is heard.</summary>
    internal double SendSecondsAt(double envelopeIndex) => _fromSendSeconds + (FirstIndex + envelopeIndex) * _sendSecondsPerValue;

    /// <summary>Takes a tone part without its ends.</summary>
    /// <param name="capture">The capture.</param>
    /// <param name="channelIndex">From 0.</param>
    /// <param name="part">A part with a frequency.</param>
    /// <param name="halfWidthHz">How far about the tone is listened.</param>
    internal static HeardTone? Of(BenchCapture capture, int channelIndex, BenchPart part, double halfWidthHz) =>
        Of(
            capture,
            channelIndex,
            part.FrequencyHz!.Value,
            part.StartSeconds + MarginSeconds,
            part.StartSeconds + part.LengthSeconds - MarginSeconds,
            halfWidthHz
        );

    /// <summary>Takes a stretch of a tone; null where none stands out there.</summary>
    internal static HeardTone? Of(
        BenchCapture capture,
        int channelIndex,
        double sendHz,
        double fromSeconds,
        double toSeconds,
        double halfWidthHz
    )
    {
        var stretch = capture.Stretch(channelIndex, fromSeconds, toSeconds);
        if (stretch.Length < capture.SampleRateHz / 20)
            return null;
        // Off its nominal by as much as the tape ran faster or slower.
        var seconds = stretch.Length / (double)capture.SampleRateHz;
        var centreHz = sendHz * (toSeconds - fromSeconds) / seconds;
        var band = Baseband.Of(stretch, capture.SampleRateHz, centreHz, halfWidthHz);
        var ring = (int)Math.Ceiling(Math.Min(RingCycles / halfWidthHz, seconds / 8) * band.RateHz);
        var tone = new HeardTone(band, ring, band.Count - ring, fromSeconds, (toSeconds - fromSeconds) / (seconds * band.RateHz));
        return tone.Envelope.Length >= 8 && IsThere(stretch, capture.SampleRateHz, tone, halfWidthHz) ? tone : null;
    }

    /// <summary>Mean level (peak of the tone) without dropouts, in blocks, and its expanded uncertainty in dB.</summary>
    internal (double Peak, double ExpandedDb) Level(double blockSeconds)
    {
        var median = Median(Envelope);
        var size = Math.Max(1, Math.Min((int)(blockSeconds * RateHz), Envelope.Length / 3));
        var (clean, all) = (new List<double>(), new List<double>());
        for (var from = 0; from + size <= Envelope.Length; from += size)
        {
            var block = Envelope.AsSpan(from, size);
            var (sum, least) = (0.0, double.PositiveInfinity);
            foreach (var value in block)
            {
                sum += value * value;
                least = Math.Min(least, value);
            }
            all.Add(sum / size);
            if (least > DropoutShare * median)
                clean.Add(sum / size);
        }
        var (mean, expanded) = Repeats.Of((clean.Count >= Math.Max(3, all.Count / 3) ? clean : all).ToArray());
        return (Math.Sqrt(mean), Math.Sqrt(Math.Pow(Repeats.PowerToDb(expanded / mean), 2) + EdgesDb * EdgesDb));
    }

    internal static double Median(ReadOnlySpan<double> values)
    {
        var sorted = values.ToArray();
        Array.Sort(sorted);
        return sorted.Length == 0 ? double.NaN
            : sorted.Length % 2 == 1 ? sorted[sorted.Length / 2]
            : (sorted[sorted.Length / 2 - 1] + sorted[sorted.Length / 2]) / 2;
    }

    // Against as wide a band on either side, as far off again.
    private static bool IsThere(ReadOnlySpan<float> stretch, int sampleRateHz, HeardTone tone, double halfWidthHz)
    {
        var centre = tone.Band.CentreHz;
        var segment = TransformLength.AtLeast((int)Math.Clamp(4 * sampleRateHz / halfWidthHz, 512, 32_768));
        var spectra = SegmentSpectra.Of(stretch, sampleRateHz, segment);
        var here = spectra.Power(spectra.Weights(centre - halfWidthHz, centre + halfWidthHz)).Mean;
        var below = spectra.Power(spectra.Weights(Math.Max(5, centre - 3.5 * halfWidthHz), Math.Max(6, centre - 1.5 * halfWidthHz))).Mean;
        var above = spectra.Power(spectra.Weights(centre + 1.5 * halfWidthHz, centre + 3.5 * halfWidthHz)).Mean;
        return here > LeastOverBeside * Math.Max(Math.Min(below, above), 1e-30);
    }
}
