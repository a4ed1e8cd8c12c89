using Offtape.Base;

namespace Offtape.Bench;

/// <summary>What the whole way from the interface's output to its input does: gain, DC, and off tape how late it is.</summary>
public static class PathReader
{
    public static Findings Read(BenchCapture capture, MachineFacts facts, CancellationToken cancellation)
    {
        var readings = new List<Reading>();
        var silence = QuietStretches.Recorded(capture);
        for (var channel = 0; channel < capture.ChannelCount; channel++)
        {
            cancellation.ThrowIfCancellationRequested();
            readings.Add(Gain(capture, channel));
            readings.Add(Direct(capture, silence, channel));
        }
        return new Findings { Readings = readings } + DelayReadings.Of(capture, facts);
    }

    private static Reading Gain(BenchCapture capture, int channel)
    {
        var reading = new Reading
        {
            Quantity = "pathGain",
            Channel = channel + 1,
            Condition = "1 kHz, 0 dB",
            Unit = "dB",
            Method = "Level of the level tone as it came back against as it was sent, interface included",
        };
        if (OperatingLevel.Of(capture, channel) is not { } level)
            return reading.Unknown(OperatingLevel.WhyNot(capture));
        return reading with
        {
            Condition = level.Part.FrequencyHz == 1000 ? reading.Condition : $"{level.Part.FrequencyHz:0} Hz, 0 dB",
            Value = Conversions.AmplitudeToDb(level.Peak) - capture.Sheet.OperatingLevelDbfs,
            Uncertainty = level.ExpandedDb,
        };
    }

    private static Reading Direct(BenchCapture capture, QuietStretch? silence, int channel)
    {
        var reading = new Reading
        {
            Quantity = "dcOffset",
            Channel = channel + 1,
            Unit = "% FS",
            Method = "Mean of the recorded silence, in seconds of it, against full scale",
        };
        if (silence is null)
            return reading.Unknown(capture.WhyNot("silence"));
        // Seconds of it: rumble and hum average out within each, and what is left scatters from one to the next.
        var frames = silence.Of(capture, channel);
        var count = Math.Max(2, frames.Length / capture.SampleRateHz);
        var size = frames.Length / count;
        var means = new double[count];
        for (var k = 0; k < count; k++)
        {
            var sum = 0.0;
            foreach (var value in frames.Slice(k * size, size))
                sum += value;
            means[k] = 100 * sum / size;
        }
        var (mean, expanded) = Repeats.Of(means);
        return reading with { Value = mean, Uncertainty = expanded };
    }
}
