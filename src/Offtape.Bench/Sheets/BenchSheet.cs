using Offtape.Passes;

namespace Offtape.Bench;

/// <summary>What stands where in a check signal.</summary>
public sealed record BenchSheet
{
    public const int CurrentFormatVersion = 1;

    public required int FormatVersion { get; init; }

    public required string SheetId { get; init; }

    public required int SampleRateHz { get; init; }

    public required int ChannelCount { get; init; }

    /// <summary>Peak of the sine that stands for the machine's operating level.</summary>
    public required double OperatingLevelDbfs { get; init; }

    public required double LengthSeconds { get; init; }

    public required IReadOnlyList<BenchPart> Parts { get; init; }

    public required IReadOnlyList<SheetSlate> Slates { get; init; }
}
