namespace Offtape.AudioFiles;

/// <summary>
/// What an audio file says besides the audio. Immutable. WAV, RF64 and BW64 carry all of it; AIFF and AIFC carry cue points, the sampler's
/// notes and loops, and other chunks of their own family; the other containers carry none.
/// </summary>
public sealed record AudioMetadata
{
    public static AudioMetadata Empty { get; } = new();

    /// <summary>
    /// Where the first frame stands: frames since midnight, at the file's own rate (the TimeReference of a `bext` chunk, EBU Tech 3285);
    /// null when the file has no place. Setting it alone is enough to have a `bext` chunk written.
    /// </summary>
    public long? TimeReferenceFrames { get; init; }

    /// <summary>The other fields of the `bext` chunk; null when there is none.</summary>
    public BroadcastExtension? Broadcast { get; init; }

    /// <summary>The text of the `iXML` chunk, as it stands.</summary>
    public string? Ixml { get; init; }

    /// <summary>Marked places, in the file's order.</summary>
    public IReadOnlyList<CuePoint> CuePoints { get; init; } = [];

    /// <summary>Root note and loops (`smpl`, in AIFF `INST`); null when there are none.</summary>
    public SamplerInfo? Sampler { get; init; }

    /// <summary>The loudspeaker of each channel (`dwChannelMask` of WAVE_FORMAT_EXTENSIBLE); null when the file does not say.</summary>
    public uint? ChannelMask { get; init; }

    /// <summary>Chunks that the program does not understand, byte for byte. They may speak of the very audio they stood beside.</summary>
    public IReadOnlyList<RawChunk> OtherChunks { get; init; } = [];

    /// <summary>
    /// What still holds when the audio has been changed: the place in time, who made it, its history. Left out are measured loudness, cue
    /// points, loops, and every chunk of which it is not known whether it still holds.
    /// </summary>
    public AudioMetadata ForChangedAudio() =>
        new()
        {
            TimeReferenceFrames = TimeReferenceFrames,
            Broadcast = Broadcast?.WithoutLoudness(),
            Ixml = Ixml,
            ChannelMask = ChannelMask,
        };
}
