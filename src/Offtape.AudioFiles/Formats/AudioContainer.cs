namespace Offtape.AudioFiles;

/// <summary>The kind of file that holds the audio.</summary>
public enum AudioContainer
{
    /// <summary>RIFF/WAVE, up to 4 GB.</summary>
    Wav,

    /// <summary>RF64, EBU Tech 3306: WAVE beyond 4 GB.</summary>
    Rf64,

    /// <summary>BW64, ITU-R BS.2088: WAVE beyond 4 GB.</summary>
    Bw64,

    Aiff,
    Aifc,
    Flac,
    Mp3,
    OggVorbis,
    Opus,
    Caf,

    /// <summary>Wave64, with 64-bit sizes and GUIDs for names.</summary>
    W64,
}
