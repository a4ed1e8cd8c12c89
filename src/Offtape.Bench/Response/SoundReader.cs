namespace Offtape.Bench;

/// <summary>
/// Reads what a machine does to the sound itself: response, distortion, and what its lost treble says of its heads. One reader, because the
/// sweeps are read once for all of it.
/// </summary>
public static class SoundReader
{
    /// <summary>All that can be had from the sweeps, staircases and multitones of a capture.</summary>
    /// <param name="capture">The capture.</param>
    /// <param name="facts">What is known of the machine; its speed and track format give losses their size.</param>
    /// <param name="cancellation">Stops it.</param>
    public static Findings Read(BenchCapture capture, MachineFacts facts, CancellationToken cancellation)
    {
        var sweeps = SweepAnalysis.Of(capture, cancellation);
        return ResponseReadings.Of(sweeps)
            + MissingSweeps(capture, sweeps)
            + LossReader.Of(capture, facts, sweeps)
            + DistortionReader.Read(capture, sweeps, cancellation);
    }

    private static Findings MissingSweeps(BenchCapture capture, SweepAnalysis sweeps)
    {
        if (sweeps.Readings.Count > 0)
            return Findings.None;
        var clipped = capture.Of(BenchPartKind.Sweep).Any();
        var reason = clipped ? "the capture clips in every sweep" : capture.WhyNot("sweep-minus20-both");
        return new Findings
        {
            Readings =
            [
                .. from channel in Enumerable.Range(1, capture.ChannelCount)
                from quantity in new[] { "bassLimit", "trebleLimit" }
                select new Reading
                {
                    Quantity = quantity,
                    Channel = channel,
                    Condition = SweepAnalysis.Words(-20),
                    Unit = "Hz",
                    Method = ResponseReadings.Method,
                    Reason = reason,
                },
            ],
        };
    }
}
