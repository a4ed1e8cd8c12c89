namespace Offtape.AudioFiles;

/// <summary>A chunk kept as it was found.</summary>
public sealed record RawChunk
{
    /// <param name="family">The family of files it belongs to.</param>
    /// <param name="name">Its name, four characters.</param>
    /// <param name="data">What it holds, without name, size and pad.</param>
    public RawChunk(ChunkFamily family, string name, byte[] data)
    {
        if (name.Length != 4)
            throw new ArgumentException("The name of a chunk has four characters.", nameof(name));
        (Family, Name, Data) = (family, name, data);
    }

    /// <summary>The chunk is written to files of this family only.</summary>
    public ChunkFamily Family { get; }

    public string Name { get; }

    public byte[] Data { get; }
}

/// <summary>Files that share their chunks.</summary>
public enum ChunkFamily
{
    /// <summary>WAV, RF64 and BW64.</summary>
    Riff,

    /// <summary>AIFF and AIFC.</summary>
    Iff,
}
