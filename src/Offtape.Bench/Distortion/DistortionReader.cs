namespace Offtape.Bench;

/// <summary>
/// Reads what loud sound becomes: harmonics against level and against frequency, how loud the tape may be hit, and what tones make of each
/// other.
/// </summary>
internal static class DistortionReader
{
    // A staircase of this frequency or higher has its harmonics out of the band, and tells saturation instead.
    private const double TrebleHz = 5000;

    internal static Findings Read(BenchCapture capture, SweepAnalysis sweeps, CancellationToken cancellation)
    {
        var jobs = new List<Func<Findings>>();
        for (var c = 0; c < capture.ChannelCount; c++)
        {
            var channel = c;
            foreach (var part in capture.Heard.Where(p => p.Channels.Contains(channel + 1) && !capture.Clipped.Contains(p.Name)))
            {
                if (part.Kind == BenchPartKind.Staircase)
                    jobs.Add(() => Stairs(capture, part, channel));
                else if (part.Kind == BenchPartKind.Multitone)
                    jobs.Add(() => MultitoneReading.Of(capture, part, channel) is { } m ? MultitoneReadings.Of(m) : Findings.None);
            }
        }
        jobs.Add(() => SweepHarmonics.Of(sweeps));
        var found = new Findings[jobs.Count];
        Parallel.For(0, jobs.Count, new ParallelOptions { CancellationToken = cancellation }, i => found[i] = jobs[i]());
        return found.Aggregate(Missing(capture), (all, one) => all + one);
    }

    private static Findings Stairs(BenchCapture capture, BenchPart part, int channel)
    {
        if (StairsReading.Of(capture, part, channel) is not { } stairs)
            return Findings.None;
        return part.FrequencyHz >= TrebleHz
            ? new Findings { Readings = [SaturationReading.Of(stairs)], Curves = [StairsReadings.OutputCurve(stairs)] }
            : StairsReadings.Of(stairs);
    }

    // What a report always has a line for.
    private static Findings Missing(BenchCapture capture)
    {
        var readings = new List<Reading>();
        foreach (
            var (name, quantity, condition) in new[]
            {
                ("stairs-315", "maximumOutputLevel", "315 Hz"),
                ("stairs-1000", "maximumOutputLevel", "1 kHz"),
                ("stairs-10000", "saturationOutputLevel", "10 kHz"),
            }
        )
        {
            if (capture.Find(name) is not null && !capture.Clipped.Contains(name))
                continue;
            for (var channel = 1; channel <= capture.ChannelCount; channel++)
            {
                readings.Add(
                    new Reading
                    {
                        Quantity = quantity,
                        Channel = channel,
                        Condition = condition,
                        Unit = "dB",
                        Method = StairsReadings.Method,
                        Reason = capture.Clipped.Contains(name) ? $"the capture clips in {name}" : capture.WhyNot(name),
                    }
                );
            }
        }
        return new Findings { Readings = readings };
    }
}
