using Offtape.Base;

namespace Offtape.Bench;

/// <summary>What the path from send to capture does to every level: its gain, and the offset of the capture.</summary>
internal static class PathReadings
{
    internal static Findings Of(BenchCapture capture, int channel)
    {
        var gain = new Reading
        {
            Quantity = "gain",
            Channel = channel + 1,
            Condition = "1 kHz, 0 dB",
            Unit = "dB",
            Method = "peak of a tone in the capture against its peak in the send, full scale to full scale",
        };
        if (StairsReading.ReferenceFrom(capture, 1000, channel) is { } reference)
            gain = gain with
            {
                Value = Conversions.AmplitudeToDb(reference.Amplitude) - capture.Sheet.OperatingLevelDbfs,
                Uncertainty = 2 * reference.SpreadDb,
            };
        else
            gain = gain.Unknown(capture.WhyNot("level-1000"));
        return new Findings { Readings = [gain, Offset(capture, channel)] };
    }

    private static Reading Offset(BenchCapture capture, int channel)
    {
        var reading = new Reading
        {
            Quantity = "dcOffset",
            Channel = channel + 1,
            Unit = "%",
            Method = "mean of the capture while silence is replayed, of full scale",
        };
        if (capture.Of(BenchPartKind.Silence).FirstOrDefault() is not { } silence)
            return reading.Unknown(capture.WhyNot("silence"));
        // Means of half seconds: how far they scatter tells how sure their mean is.
        const double stretch = 0.5;
        var means = new List<double>();
        for (
            var from = silence.StartSeconds + stretch;
            from + stretch <= silence.StartSeconds + silence.LengthSeconds - stretch;
            from += stretch
        )
        {
            var sum = 0.0;
            var samples = capture.Stretch(channel, from, from + stretch);
            foreach (var sample in samples)
                sum += sample;
            means.Add(100 * sum / Math.Max(1, samples.Length));
        }
        if (means.Count < 3)
            return reading.Unknown("the silence is too short");
        var mean = means.Average();
        var sigma = Math.Sqrt(means.Sum(m => (m - mean) * (m - mean)) / (means.Count - 1) / means.Count);
        return reading with { Value = mean, Uncertainty = 2 * sigma + 1e-5 };
    }
}
