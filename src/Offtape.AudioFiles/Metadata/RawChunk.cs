namespace Offtape.AudioFiles;

/// <summary>A chunk kept as it was found.</summary>
/// <param name="Family">The family of files it belongs to; it is written to files of that family only.</param>
/// <param name="Id">Its four-character name.</param>
/// <param name="Data">What it holds, without name, size and pad.</param>
public sealed record RawChunk(ChunkFamily Family, string Id, byte[] Data);

/// <summary>Files that share their chunks.</summary>
public enum ChunkFamily
{
    /// <summary>WAV, RF64 and BW64.</summary>
    Riff,

    /// <summary>AIFF and AIFC.</summary>
    Iff,
}
