using Offtape.AudioFiles;

namespace Offtape.Passes;

/// <summary>All that was asked of a return besides its files, so that it can be run again years later. Kept in return.json.</summary>
public sealed record ReturnAsked
{
    public required IReadOnlyList<string> Captures { get; init; }

    public IReadOnlyList<string> With { get; init; } = [];

    public IReadOnlyList<int> Channels { get; init; } = [];

    public IReadOnlyList<string> Passes { get; init; } = [];

    public IReadOnlyList<string> Sources { get; init; } = [];

    /// <summary>Places set by hand, their captures by file name.</summary>
    public IReadOnlyList<HeldPlace> Held { get; init; } = [];

    /// <summary><c>shift</c>, <c>fit</c>, <c>steady</c>, <c>lock</c>.</summary>
    public required IReadOnlyList<string> Retimings { get; init; }

    public double CornerHz { get; init; }
    public bool FlattenRides { get; init; }
    public bool AsPrinted { get; init; }
    public double TailSeconds { get; init; }
    public double HeadSeconds { get; init; }
    public bool SameLength { get; init; }
    public bool MatchLevel { get; init; }
    public bool KeepPolarity { get; init; }
    public bool KeepChannels { get; init; }
    public bool KeepDelay { get; init; }
    public int? SampleRateHz { get; init; }

    /// <summary>Sample format of the takes as <see cref="SampleEncoding"/> names it; null: 32-bit float.</summary>
    public string? Encoding { get; init; }
    public string Suffix { get; init; } = "-tape";
    public double SpeedReach { get; init; }

    /// <summary>Paths as they were given.</summary>
    public static ReturnAsked Of(ReturnRequest request) =>
        new()
        {
            Captures = request.Captures,
            With = request.With,
            Channels = request.Channels,
            Passes = request.Passes,
            Sources = request.Sources,
            Held = [.. request.Held.Select(h => h with { Capture = Path.GetFileName(h.Capture) })],
            Retimings = [.. request.Retimings.Distinct().Select(ReturnJob.FolderOf)],
            CornerHz = request.CornerHz,
            FlattenRides = request.FlattenRides,
            AsPrinted = request.AsPrinted,
            TailSeconds = request.TailSeconds,
            HeadSeconds = request.HeadSeconds,
            SameLength = request.SameLength,
            MatchLevel = request.MatchLevel,
            KeepPolarity = request.KeepPolarity,
            KeepChannels = request.KeepChannels,
            KeepDelay = request.KeepDelay,
            SampleRateHz = request.SampleRateHz,
            Encoding = request.Encoding?.ToString(),
            Suffix = request.Suffix,
            SpeedReach = request.SpeedReach,
        };

    /// <summary>The same return again, into another folder.</summary>
    public ReturnRequest Again(string targetFolder, bool force) =>
        new()
        {
            Captures = Captures,
            With = With,
            Channels = Channels,
            Passes = Passes,
            Sources = Sources,
            Held = Held,
            TargetFolder = targetFolder,
            Retimings = [.. Retimings.Select(name => Enum.Parse<Retiming>(name, ignoreCase: true))],
            CornerHz = CornerHz,
            FlattenRides = FlattenRides,
            AsPrinted = AsPrinted,
            TailSeconds = TailSeconds,
            HeadSeconds = HeadSeconds,
            SameLength = SameLength,
            MatchLevel = MatchLevel,
            KeepPolarity = KeepPolarity,
            KeepChannels = KeepChannels,
            KeepDelay = KeepDelay,
            SampleRateHz = SampleRateHz,
            Encoding = Encoding is null ? null : Enum.Parse<SampleEncoding>(Encoding),
            Suffix = Suffix,
            SpeedReach = SpeedReach,
            Force = force,
        };
}
