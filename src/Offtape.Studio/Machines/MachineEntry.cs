namespace Offtape.Studio;

/// <summary>What is said of a machine. What is null was not said, and leaves what the log has.</summary>
public sealed record MachineEntry
{
    public required string Name { get; init; }

    /// <summary>One of <see cref="Kinds"/>.</summary>
    public string? Kind { get; init; }

    /// <summary><c>off-tape</c>: it replays while it records; <c>rewound</c>: it does not.</summary>
    public string? Monitoring { get; init; }
    public string? SpeedsCmPerSecond { get; init; }
    public string? TrackFormat { get; init; }
    public double? HeadDistanceMm { get; init; }
    public double? MainsHz { get; init; }

    /// <summary>Hours it had run before the log began.</summary>
    public double? HoursWhenAdded { get; init; }
    public string? Note { get; init; }

    public static IReadOnlyList<string> Kinds { get; } = ["cassette-deck", "cassette-multitrack", "reel", "portable"];
}
