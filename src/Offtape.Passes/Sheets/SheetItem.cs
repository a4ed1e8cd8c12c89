namespace Offtape.Passes;

/// <summary>One source of a pass.</summary>
public sealed record SheetItem
{
    /// <summary>File name, without a folder.</summary>
    public required string Source { get; init; }

    /// <summary>1, 2, … in the order of the sheet, where several sources have this name (compared without case); else null.</summary>
    public int? SourceNumber { get; init; }

    /// <summary>Where the file lay, seen from the sheet's folder, with forward slashes; null when it lay on another disk.</summary>
    public string? SourcePath { get; init; }

    /// <summary>SHA-256 of the whole source file, in lower-case hexadecimal.</summary>
    public required string Sha256 { get; init; }

    /// <summary>Where the item's first frame stands in the send.</summary>
    public required double StartSeconds { get; init; }

    /// <summary>Length in the source's own time.</summary>
    public required double LengthSeconds { get; init; }

    /// <summary>Length in the send: <see cref="LengthSeconds"/> × the printing ratio.</summary>
    public double SendLengthSeconds { get; init; }

    /// <summary>The gain the source was given, exactly as applied; to be undone on return.</summary>
    public required double GainDb { get; init; }

    /// <summary>Sample peak of the source before the gain.</summary>
    public double PeakDbfs { get; init; }

    /// <summary>The tracks it stands on, from 1. A mono source stands on each of them; channel n of another on the n-th of them.</summary>
    public required IReadOnlyList<int> Tracks { get; init; }

    /// <summary>The source file's own rate.</summary>
    public int SampleRateHz { get; init; }
    public int ChannelCount { get; init; }
    public long FrameCount { get; init; }

    /// <summary>The source's place on a timeline, in its own frames since midnight (BWF TimeReference); null when it has none.</summary>
    public long? TimeReferenceFrames { get; init; }
}
