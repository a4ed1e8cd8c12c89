namespace Offtape.AudioFiles;

/// <summary>What the header of an uncompressed file says, after every claim has been checked against the bytes that are there.</summary>
/// <param name="Container">What the content is.</param>
/// <param name="Format">Rate, channels and encoding.</param>
/// <param name="Layout">How the samples lie.</param>
/// <param name="DataOffset">Where the first frame begins, in bytes.</param>
/// <param name="FrameCount">Whole frames that are really in the file.</param>
/// <param name="Metadata">What else the file says.</param>
/// <param name="Damage">What was wrong.</param>
internal sealed record ParsedAudio(
    AudioContainer Container,
    AudioFormat Format,
    SampleLayout Layout,
    long DataOffset,
    long FrameCount,
    AudioMetadata Metadata,
    Damage Damage
);
