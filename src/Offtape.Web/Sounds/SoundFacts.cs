using Offtape.Base;

namespace Offtape.Web.Sounds;

/// <summary>What the head of an audio file says, or why it cannot be read.</summary>
public sealed record SoundFacts
{
    public required string Name { get; init; }

    public int SampleRateHz { get; init; }

    public int ChannelCount { get; init; }

    public long FrameCount { get; init; }

    public double LengthSeconds => SampleRateHz > 0 ? (double)FrameCount / SampleRateHz : 0;

    public long ByteCount { get; init; }

    /// <summary>What is wrong with it in part.</summary>
    public IReadOnlyList<Notice> Notices { get; init; } = [];

    /// <summary>Why it cannot be read; null: it can.</summary>
    public string? Trouble { get; init; }
}
