using Offtape.Base;

namespace Offtape.Bench;

/// <summary>What was found of check signals in one capture.</summary>
public sealed record BenchLocation
{
    /// <summary>As it was named; empty for audio in memory.</summary>
    public required string File { get; init; }

    public required int SampleRateHz { get; init; }

    public required int ChannelCount { get; init; }

    public required double LengthSeconds { get; init; }

    /// <summary>The runs in order of time: one for each time the check signal is heard.</summary>
    public required IReadOnlyList<BenchCapture> Runs { get; init; }

    /// <summary>Why there is no run, as a whole sentence; null where there is one.</summary>
    public string? WhyNone { get; init; }

    public IReadOnlyList<Notice> Notices { get; init; } = [];

    /// <summary>A capture in which nothing is heard, so that every reader can say so.</summary>
    internal BenchCapture Nothing(HowTaken how, BenchSheet sheet) =>
        new(
            [.. Enumerable.Range(0, ChannelCount).Select(_ => new float[1])],
            SampleRateHz,
            how,
            sheet,
            Tape.TimeMap.Constant(0, 1, sheet.LengthSeconds),
            []
        )
        {
            File = File,
            Missing = [.. sheet.Parts.Select(p => new MissingPart(p.Name, "the check signal is not in this capture"))],
        };
}
