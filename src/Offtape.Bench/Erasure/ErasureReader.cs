using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>
/// How much of a loud tone is left where silence was recorded over it: the band about 1 kHz after against before, without the noise beside
/// it.
/// </summary>
public static class ErasureReader
{
    // The tone, once the wobble of both runs has spread it.
    private const double HalfWidthShare = 0.02;

    // Noise is taken from so far off on both sides, in half widths.
    private const double BesideFrom = 2;
    private const double BesideTo = 6;
    private const double BlockSeconds = 0.1;

    // Noise along with a tone is more alike in half-overlapping segments than noise alone: 1/6 instead of 1/36.
    private static readonly double SharedWithTone = Math.Sqrt((1 + 2.0 / 6) / (1 + 2.0 / 36));

    // A drop of less than this is no recording over but a level that changed.
    private const double LeastDropDb = 10;
    private const double ShortestSeconds = 1;
    private const double MarginSeconds = 0.3;

    public static Findings Read(BenchCapture capture, MachineFacts facts, CancellationToken cancellation)
    {
        var part = capture.Of(BenchPartKind.Erasure).FirstOrDefault();
        var readings = new List<Reading>();
        for (var channel = 0; channel < capture.ChannelCount; channel++)
        {
            cancellation.ThrowIfCancellationRequested();
            readings.Add(Read(capture, part, channel));
        }
        return new Findings { Readings = readings };
    }

    private static Reading Read(BenchCapture capture, BenchPart? part, int channel)
    {
        var reading = new Reading
        {
            Quantity = "erasure",
            Channel = channel + 1,
            Condition = "1 kHz",
            Unit = "dB",
            Method =
                "What is left of a loud tone after silence was recorded over it, against before, in 40 Hz about it without the noise beside",
            Standard = "DIN 45 500 sheet 4 (asks for 60 dB at 1 kHz)",
        };
        if (part is null)
            return reading.Unknown(capture.WhyNot("erasure"));
        if (capture.How == HowTaken.OffTape)
            return reading.Unknown("Off tape the stretch is heard before anything is recorded over it: rewind and replay it");
        if (Split(capture, part, channel) is not { } split)
            return reading.Unknown("Nothing was recorded over the stretch: record silence over its second half and replay it");
        var before = Power(capture, part, channel, split.BeforeFrom, split.BeforeTo);
        var after = Power(capture, part, channel, split.AfterFrom, split.AfterTo);
        if (before.Tone <= 0)
            return reading.Unknown("The tone before does not stand out of the noise");
        if (after.Tone > 2 * after.Expanded)
            return reading with
            {
                Value = Conversions.PowerToDb(after.Tone / before.Tone),
                Uncertainty = Repeats.PowerToDb(Math.Sqrt(Squared(before) + Squared(after))),
            };
        var atMost = Conversions.PowerToDb((Math.Max(0, after.Tone) + after.Expanded) / before.Tone);
        return reading.Hidden(atMost, $"What is left is hidden by noise: it is erased by at least {Words.Number(-atMost, 0)} dB");
    }

    private static double Squared((double Tone, double Expanded) power) => Math.Pow(power.Expanded / power.Tone, 2);

    /// <summary>Send seconds of the stretches before and after the recording over; null where there is none.</summary>
    private static (double BeforeFrom, double BeforeTo, double AfterFrom, double AfterTo)? Split(
        BenchCapture capture,
        BenchPart part,
        int channel
    )
    {
        var frames = capture.Stretch(channel, part.StartSeconds, part.StartSeconds + part.LengthSeconds);
        if (frames.IsEmpty)
            return null;
        var scale = part.LengthSeconds * capture.SampleRateHz / frames.Length;
        var band = Baseband.Of(frames, capture.SampleRateHz, part.FrequencyHz!.Value * scale, HalfWidthShare * part.FrequencyHz.Value);
        var size = Math.Max(1, (int)(BlockSeconds * band.RateHz));
        var levels = new double[band.Count / size];
        for (var b = 0; b < levels.Length; b++)
        {
            for (var i = b * size; i < (b + 1) * size; i++)
                levels[b] += (band.Re[i] * band.Re[i] + band.Im[i] * band.Im[i]) / size;
        }
        var loud = HeardTone.Median(levels.AsSpan(0, Math.Max(1, levels.Length / 3)));
        var threshold = loud * Conversions.DbToPower(-LeastDropDb);
        var blockSeconds = size / band.RateHz * scale;
        // The hand may have been early or late: the recording over is the longest run of quiet blocks.
        var (bestFrom, bestTo, from) = (0, 0, -1);
        for (var b = 0; b <= levels.Length; b++)
        {
            var quiet = b < levels.Length && levels[b] < threshold;
            if (quiet && from < 0)
                from = b;
            if (!quiet && from >= 0)
            {
                if (b - from > bestTo - bestFrom)
                    (bestFrom, bestTo) = (from, b);
                from = -1;
            }
        }
        var start = part.StartSeconds;
        var result = (
            BeforeFrom: start + MarginSeconds,
            BeforeTo: start + bestFrom * blockSeconds - MarginSeconds,
            AfterFrom: start + bestFrom * blockSeconds + MarginSeconds,
            AfterTo: start + bestTo * blockSeconds - MarginSeconds
        );
        return result.BeforeTo - result.BeforeFrom < ShortestSeconds || result.AfterTo - result.AfterFrom < ShortestSeconds ? null : result;
    }

    private static (double Tone, double Expanded) Power(BenchCapture capture, BenchPart part, int channel, double from, double to)
    {
        var frames = capture.Stretch(channel, from, to);
        var rateHz = capture.SampleRateHz;
        var centre = part.FrequencyHz!.Value * (to - from) * rateHz / frames.Length;
        var half = HalfWidthShare * centre;
        var spectra = SegmentSpectra.Of(frames, rateHz, TransformLength.AtLeast(rateHz / 8));
        var tone = spectra.Weights(centre - half, centre + half);
        var below = spectra.Weights(centre - BesideTo * half, centre - BesideFrom * half);
        var above = spectra.Weights(centre + BesideFrom * half, centre + BesideTo * half);
        // In one set of weights, so that the standard error is that of the difference.
        for (var k = 0; k < tone.Length; k++)
            tone[k] -= (below[k] + above[k]) / (BesideTo - BesideFrom);
        var (mean, error) = spectra.Power(tone);
        return (mean, SharedWithTone * Repeats.StudentT(Math.Max(1, spectra.SegmentCount - 1)) * error);
    }
}
