using Offtape.AudioFiles;

namespace Offtape.Passes.Listening;

/// <summary>
/// Audio that can be opened as often as threads need it: a file, several mono files of one recording, or a pick of channels.
/// </summary>
internal sealed class Recording
{
    private readonly Func<IAudioReader> _open;

    internal Recording(string path, Func<IAudioReader> open)
    {
        Path = path;
        _open = open;
        using var reader = open();
        Format = reader.Format;
        FrameCount = reader.FrameCount;
        Container = reader.Container;
        Metadata = reader.Metadata;
        Notices = [.. reader.Notices];
    }

    /// <summary>As the user named it.</summary>
    internal string Path { get; }

    internal string Name => System.IO.Path.GetFileName(Path);

    internal AudioFormat Format { get; }

    internal AudioContainer Container { get; }

    internal AudioMetadata Metadata { get; }

    internal IReadOnlyList<Offtape.Base.Notice> Notices { get; }

    internal long FrameCount { get; }

    internal double LengthSeconds => (double)FrameCount / Format.SampleRateHz;

    internal IAudioReader Open() => _open();

    internal static Recording Of(string path) => new(path, () => AudioFile.Open(path));
}
