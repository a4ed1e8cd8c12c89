using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>
/// An audio file opened for reading, at any frame, in any order. Memory does not grow with the length of the file. Not thread-safe: one
/// reader for each thread.
/// </summary>
public interface IAudioReader : IDisposable
{
    /// <summary>The file, as it was named when it was opened.</summary>
    string Path { get; }

    /// <summary>What the content says the file is, whatever its name.</summary>
    AudioContainer Container { get; }

    AudioFormat Format { get; }

    /// <summary>Frames that can be read; at least 1.</summary>
    long FrameCount { get; }

    AudioMetadata Metadata { get; }

    /// <summary>
    /// What the user should know of this file. At most one notice "damaged-file" tells what was found when the file was opened; it may be
    /// joined by others as frames are read (values that are no numbers).
    /// </summary>
    IReadOnlyList<Notice> Notices { get; }

    /// <summary>Reads frames as floats, 1.0 = full scale. Values that are not finite are read as 0 and counted in a notice.</summary>
    /// <param name="startFrame">The first frame wanted, 0 or more.</param>
    /// <param name="interleaved">Receives whole frames, channel after channel; a rest smaller than a frame is left alone.</param>
    /// <returns>Frames read: as many as fit, fewer only where the file ends, 0 at or after the end.</returns>
    /// <exception cref="Fault">The file can no longer be read.</exception>
    int Read(long startFrame, Span<float> interleaved);

    /// <summary>
    /// As <see cref="Read"/>, but every stored value exactly: integers as value ÷ 2^(bits − 1), floating point as it is, NaN and infinity
    /// too.
    /// </summary>
    int ReadExact(long startFrame, Span<double> interleaved);
}
