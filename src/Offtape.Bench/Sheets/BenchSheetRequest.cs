using Offtape.Base;
using Offtape.Passes;

namespace Offtape.Bench;

/// <summary>What a check signal is to hold.</summary>
public sealed record BenchSheetRequest
{
    public const int DefaultSampleRateHz = 48_000;
    public const int DefaultChannelCount = 2;

    /// <summary>As in a send: 12 dB for peaks (common practice, no source).</summary>
    public const double DefaultLevelDbfs = -12;

    /// <summary>So that the 10 kHz staircase and the slates fit with room to spare.</summary>
    public const int LowestSampleRateHz = 32_000;

    public const int MostChannels = SendJob.MostTracks;

    /// <summary>The lowest operating level that is taken for one, not for a slip.</summary>
    public const double LowestLevelDbfs = -60;

    /// <summary>No peak of the signal stands higher.</summary>
    public const double HighestPeakDbfs = -0.1;

    /// <summary>From <see cref="LowestSampleRateHz"/> to <see cref="SampleRate.HighestHz"/>.</summary>
    public int SampleRateHz { get; init; } = DefaultSampleRateHz;

    /// <summary>1 to <see cref="MostChannels"/>.</summary>
    public int ChannelCount { get; init; } = DefaultChannelCount;

    /// <summary>Peak of the sine that stands for the machine's operating level.</summary>
    public double LevelDbfs { get; init; } = DefaultLevelDbfs;

    /// <summary>
    /// The choice of parts and their steps: a capture without its sheet may hold an earlier one. 1: treble staircase to +4 dB; 2: to +10 dB.
    /// </summary>
    internal int Edition { get; init; } = LatestEdition;

    internal const int LatestEdition = 2;

    /// <summary>Names of parts, or of kinds of them (<see cref="BenchPartNames.Kinds"/>); empty for all.</summary>
    public IReadOnlyList<string> Parts { get; init; } = [];
}
