namespace Offtape.AudioFiles;

/// <summary>A marked place, or a marked stretch, in a file (`cue ` with `LIST adtl` in RIFF, `MARK` in AIFF).</summary>
/// <param name="Id">The point's number; different for each point of a file.</param>
/// <param name="Frame">Where it stands, below 2^32.</param>
public sealed record CuePoint(uint Id, long Frame)
{
    /// <summary>Its name (`labl`).</summary>
    public string? Label { get; init; }

    /// <summary>A remark on it (`note`).</summary>
    public string? Note { get; init; }

    /// <summary>How long the marked stretch is (`ltxt`); 0 for a point.</summary>
    public long LengthFrames { get; init; }

    /// <summary>What the stretch is for (`ltxt`, four characters such as <c>rgn </c>); empty for a point.</summary>
    public string Purpose { get; init; } = "";
}
