namespace Offtape.Bench;

/// <summary>Everything the bench can read, in the order of the report.</summary>
public static class BenchReaders
{
    /// <summary>One line for each reader. What two of them give under the same quantity, channel and condition would be told apart by nothing.</summary>
    public static IReadOnlyList<BenchReader> All { get; } =
    [
        new("speed", SpeedReader.Read),
        new("sound", SoundReader.Read),
        new("noise", NoiseReader.Read),
        new("modulation noise", ModulationNoiseReader.Read),
        new("channels", ChannelsReader.Read),
        new("dropouts", DropoutReader.Read),
        new("erasure", ErasureReader.Read),
        new("path", PathReader.Read),
        new("automatics", AutomaticsReader.Read),
    ];

    /// <summary>
    /// All readers on one capture, beside each other; their findings stand in the order of the table.
    /// </summary>
    /// <exception cref="OperationCanceledException">Cancelled.</exception>
    public static Findings Run(BenchCapture capture, MachineFacts facts, CancellationToken cancellation, Action<string>? isRead = null)
    {
        var found = new Findings[All.Count];
        Parallel.For(
            0,
            found.Length,
            new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
            i =>
            {
                found[i] = All[i].Read(capture, facts, cancellation);
                isRead?.Invoke(All[i].Name);
            }
        );
        return found.Aggregate(Findings.None, (all, one) => all + one);
    }
}
