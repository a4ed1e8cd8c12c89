using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>
/// Noise that comes with the sound: what the envelope of a steady tone trembles, against the same band of silence. The envelope does not see
/// what moves the pitch, so wow and flutter are no noise here. Common practice, no source: no standard was found for recorded tone.
/// </summary>
public static class ModulationNoiseReader
{
    private const double FromHz = 100;
    private const double ToHz = 1000;

    // Beside a tone lies its second harmonic, as far off as the tone is high.
    private const double ShareOfTone = 0.6;
    private const int SegmentValues = 1024;
    private const double DropoutShare = 0.8;
    private const int FewestSegments = 6;

    public static Findings Read(BenchCapture capture, MachineFacts facts, CancellationToken cancellation)
    {
        var part = capture.Of(BenchPartKind.SpeedTone).Concat(capture.Of(BenchPartKind.LevelTone)).MaxBy(p => p.LengthSeconds);
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
        var toHz = Math.Min(ToHz, ShareOfTone * (part?.FrequencyHz ?? ToHz));
        var reading = new Reading
        {
            Quantity = "modulationNoise",
            Channel = channel + 1,
            Unit = "dB",
            Condition = $"{FromHz:0} Hz to {toHz:0} Hz beside {part?.FrequencyHz ?? 3150:0} Hz",
            Method = "Trembling of a tone's envelope, root mean square against the tone, without what silence has in the same band",
        };
        if (part is null)
            return reading.Unknown(capture.WhyNot("speed-3150"));
        if (capture.Clipped.Contains(part.Name))
            return reading.Unknown($"{part.Name} clipped");
        if (HeardTone.Of(capture, channel, part, toHz) is not { } tone)
            return reading.Unknown($"No tone stands out of the noise in {part.Name}");
        if (QuietStretches.Recorded(capture) is not { } silence)
            return reading.Unknown($"What silence has in this band is not known: {capture.WhyNot("silence")}");

        var values = Trembling(tone, toHz);
        if (values.Count < FewestSegments)
            return reading.Unknown("The tone has too many dropouts");
        var (total, totalExpanded) = Repeats.Of(values.ToArray());
        var (added, addedExpanded) = Added(capture, silence, channel, tone, toHz);
        var (power, expanded) = (total - added, Math.Sqrt(totalExpanded * totalExpanded + addedExpanded * addedExpanded));
        return power > 2 * expanded
            ? reading with
            {
                Value = Conversions.PowerToDb(power),
                Uncertainty = Repeats.PowerToDb(expanded / power),
            }
            : reading.Hidden(Conversions.PowerToDb(Math.Max(0, power) + expanded), "It is hidden by the noise that silence has as well");
    }

    private static List<double> Trembling(HeardTone tone, double toHz)
    {
        var values = new List<double>();
        for (var from = 0; from + SegmentValues <= tone.Envelope.Length; from += SegmentValues)
        {
            var segment = tone.Envelope.AsSpan(from, SegmentValues);
            var mean = HeardTone.Median(segment);
            var (ratio, least) = (new float[SegmentValues], double.PositiveInfinity);
            for (var i = 0; i < SegmentValues; i++)
            {
                ratio[i] = (float)(segment[i] / mean - 1);
                least = Math.Min(least, segment[i]);
            }
            if (least < DropoutShare * mean)
                continue;
            var spectra = SegmentSpectra.Of(ratio, tone.RateHz, SegmentValues);
            values.Add(spectra.Power(spectra.Weights(FromHz, toHz)).Mean);
        }
        return values;
    }

    /// <summary>
    /// What noise of a power P about the tone adds to the envelope's trembling: the half of it in phase with the tone, P ÷ peak², both sides of
    /// the tone together.
    /// </summary>
    private static (double Power, double Expanded) Added(
        BenchCapture capture,
        QuietStretch silence,
        int channel,
        HeardTone tone,
        double toHz
    )
    {
        var frames = silence.Of(capture, channel);
        var spectra = SegmentSpectra.Of(frames, capture.SampleRateHz, TransformLength.AtLeast(capture.SampleRateHz / 20));
        var weights = spectra.Weights(tone.Band.CentreHz - toHz, tone.Band.CentreHz - FromHz);
        var above = spectra.Weights(tone.Band.CentreHz + FromHz, tone.Band.CentreHz + toHz);
        for (var k = 0; k < weights.Length; k++)
            weights[k] += above[k];
        var (mean, error) = spectra.Power(weights);
        var scale = 1 / Math.Pow(HeardTone.Median(tone.Envelope), 2);
        return (mean * scale, Repeats.StudentT(Math.Max(1, spectra.SegmentCount - 1)) * error * scale);
    }
}
