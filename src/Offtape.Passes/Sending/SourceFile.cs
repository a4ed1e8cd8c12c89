namespace Offtape.Passes;

/// <summary>One source, as it was found when the send was planned.</summary>
internal sealed record SourceFile
{
    internal required string Path { get; init; }

    /// <summary>File name without a folder.</summary>
    internal required string Name { get; init; }
    internal required int SampleRateHz { get; init; }
    internal required int ChannelCount { get; init; }

    /// <summary>Frames that can be read.</summary>
    internal required long FrameCount { get; init; }
    internal long? TimeReferenceFrames { get; init; }

    /// <summary>Sample peak; NaN before it is measured.</summary>
    internal double PeakLinear { get; init; } = double.NaN;

    /// <summary>Lower-case hexadecimal; empty before it is measured.</summary>
    internal string Sha256 { get; init; } = "";

    internal double LengthSeconds => (double)FrameCount / SampleRateHz;
}
