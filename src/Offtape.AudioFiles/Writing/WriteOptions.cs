namespace Offtape.AudioFiles;

/// <summary>How an audio file is written.</summary>
public sealed record WriteOptions
{
    public static WriteOptions Default { get; } = new();

    /// <summary>Whether an existing file of that name is replaced, once the new one is whole.</summary>
    public bool Replace { get; init; }

    /// <summary>Whether floats are dithered (triangular, one step each way) when they are reduced to 16 bits or fewer.</summary>
    public bool Dither { get; init; } = true;

    /// <summary>The seed of the dither: the same input gives the same bytes.</summary>
    public ulong DitherSeed { get; init; } = 1;

    /// <summary>The container; null goes by the file's extension.</summary>
    public AudioContainer? Container { get; init; }

    /// <summary>The largest RIFF size that a plain WAV may state; beyond it the file becomes RF64.</summary>
    internal long RiffSizeLimitBytes { get; init; } = uint.MaxValue - 1L;

    /// <summary>The largest size that an AIFF may state.</summary>
    internal long AiffSizeLimitBytes { get; init; } = uint.MaxValue - 1L;

    /// <summary>Opens the temporary file; tests put a failing one here.</summary>
    internal Func<string, Stream>? OpenTemporary { get; init; }

    /// <summary>Finds the codec library; tests put one here that finds nothing.</summary>
    internal Func<CodecLibrary?> FindLibrary { get; init; } = static () => CodecLibrary.Installed;
}
