namespace Offtape.Studio;

/// <summary>A stretch of a side that has been recorded.</summary>
/// <param name="FromMetres">From the beginning of the side.</param>
/// <param name="ToMetres">Where it ends, beyond <paramref name="FromMetres"/>.</param>
public sealed record UsedStretch(double FromMetres, double ToMetres)
{
    /// <summary>Tracks of the tape, from 1; empty for all of the side.</summary>
    public IReadOnlyList<int> Tracks { get; init; } = [];

    /// <summary>How often the place had been recorded when this was noted, this time included.</summary>
    public int Times { get; init; } = 1;

    /// <summary>When it was recorded; later ones lie on top. Any text that sorts by time.</summary>
    public string At { get; init; } = "";

    /// <summary>What stands there: names of sounds, or a remark.</summary>
    public string What { get; init; } = "";

    /// <summary>The speed it was recorded at, in cm/s; null where it is not known.</summary>
    public double? SpeedCmPerSecond { get; init; }

    public bool IsReversed { get; init; }

    /// <summary>The pass that recorded it; null where none is in the log.</summary>
    public string? PassId { get; init; }

    public double? StartCounter { get; init; }

    internal bool Touches(int track) => Tracks.Count == 0 || Tracks.Contains(track);
}
