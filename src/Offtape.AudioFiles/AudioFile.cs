using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>Audio files, opened for reading. The content decides what a file is, not its name.</summary>
public static class AudioFile
{
    /// <summary>Whether a file's name is that of an audio file. Hidden files, names that begin with a dot, are none.</summary>
    public static bool IsAudioName(string path) => ContainerNames.FromPath(path) is not null && !Path.GetFileName(path).StartsWith('.');

    /// <summary>Opens a file. A damaged one is opened as far as it is sound, and says so in its notices.</summary>
    /// <exception cref="Fault">No such file, not an audio file, no audio in it, or damage that leaves nothing to read.</exception>
    public static IAudioReader Open(string path) => Open(path, static () => CodecLibrary.Installed);

    /// <param name="path">The file.</param>
    /// <param name="findLibrary">Finds the codec library when the file turns out to need it; null when it is not installed.</param>
    internal static IAudioReader Open(string path, Func<CodecLibrary?> findLibrary)
    {
        var file = FileBytes.Open(path);
        try
        {
            Span<byte> start = stackalloc byte[64];
            start = start[..file.Read(0, start)];
            if (start.IsEmpty)
                throw Fault.Input(path, "it is empty", 0);
            if (RiffParser.IsWave(start))
                return new PcmReader(file, RiffParser.Parse(file));
            if (AiffParser.IsAiff(start))
                return new PcmReader(file, AiffParser.Parse(file));
            if (CodecSniffer.Kind(start) is { } kind)
                return CodecReader.Open(file, kind, findLibrary());
            throw Fault.Input(path, "it is not an audio file of any kind that is read", 0);
        }
        catch
        {
            file.Dispose();
            throw;
        }
    }

    /// <summary>
    /// Opens the files of one recording as one reader: the channels of the first, then those of the second, and so on. All must have one
    /// sample rate. Shorter ones end in silence, which a notice tells. Path, container and metadata are those of the first.
    /// </summary>
    /// <exception cref="Fault">A file cannot be read, the rates differ, or there are more than 64 channels.</exception>
    public static IAudioReader OpenTogether(IReadOnlyList<string> paths)
    {
        ArgumentOutOfRangeException.ThrowIfZero(paths.Count);
        var readers = new List<IAudioReader>();
        try
        {
            foreach (var path in paths)
                readers.Add(Open(path));
            return readers.Count == 1 ? readers[0] : new TogetherReader(readers);
        }
        catch
        {
            readers.ForEach(r => r.Dispose());
            throw;
        }
    }
}
