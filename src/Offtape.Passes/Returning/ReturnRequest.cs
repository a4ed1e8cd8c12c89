using Offtape.AudioFiles;

namespace Offtape.Passes;

/// <summary>What a return is asked for.</summary>
public sealed record ReturnRequest
{
    /// <summary>Files and folders that were recorded from the machine; a folder stands for the audio files in it.</summary>
    public required IReadOnlyList<string> Captures { get; init; }

    /// <summary>Further mono files of the same recording as the one capture.</summary>
    public IReadOnlyList<string> With { get; init; } = [];

    /// <summary>Which channels of each capture to hear, from 1; empty for all.</summary>
    public IReadOnlyList<int> Channels { get; init; } = [];

    /// <summary>Pass sheets, or the folders they lie in.</summary>
    public IReadOnlyList<string> Passes { get; init; } = [];

    /// <summary>Clean sounds to look for by their sound, where there is no sheet; beside a sheet: where its sources are now.</summary>
    public IReadOnlyList<string> Sources { get; init; } = [];

    public required string TargetFolder { get; init; }

    public IReadOnlyList<Retiming> Retimings { get; init; } = [Retiming.Steady];

    /// <summary>For steady: slower movement than this is taken out.</summary>
    public double CornerHz { get; init; } = 0.3;

    /// <summary>Take deliberate rides of the pitch out as well.</summary>
    public bool FlattenRides { get; init; }

    /// <summary>Leave another tape speed or direction as it is heard.</summary>
    public bool AsPrinted { get; init; }

    /// <summary>Kept after the source's end.</summary>
    public double TailSeconds { get; init; }

    /// <summary>Kept before the source's beginning.</summary>
    public double HeadSeconds { get; init; }

    /// <summary>Make all takes as long as the longest.</summary>
    public bool SameLength { get; init; }

    /// <summary>Give each take its source's level.</summary>
    public bool MatchLevel { get; init; }

    public bool KeepPolarity { get; init; }

    public bool KeepChannels { get; init; }

    public bool KeepDelay { get; init; }

    /// <summary>Null: the source's own.</summary>
    public int? SampleRateHz { get; init; }

    /// <summary>Null: 32-bit float.</summary>
    public SampleEncoding? Encoding { get; init; }

    public string Suffix { get; init; } = "-tape";

    /// <summary>How far the speed may be off where no slate tells it, as a ratio.</summary>
    public double SpeedReach { get; init; } = 0.04;

    /// <summary>What return.json says of when it was made; null: nothing.</summary>
    public DateTime? MadeAt { get; init; }

    /// <summary>Places set by hand: each is followed from there, and its sound is looked for nowhere else in that capture.</summary>
    public IReadOnlyList<HeldPlace> Held { get; init; } = [];

    /// <summary>Replace takes that exist.</summary>
    public bool Force { get; init; }
}
