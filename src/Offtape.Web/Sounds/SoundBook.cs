using System.Collections.Concurrent;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Report;
using Offtape.Web.Waves;

namespace Offtape.Web.Sounds;

/// <summary>
/// What the app knows of audio files: their facts and the envelopes by which they are drawn. Each is read once, and again only when the
/// file changes.
/// </summary>
public sealed class SoundBook
{
    private const int MostKept = 400;
    private readonly ConcurrentDictionary<Stamp, SoundFacts> _facts = [];
    private readonly ConcurrentDictionary<(Stamp Stamp, int Columns, int Channel), Lazy<Task<Waveform?>>> _envelopes = [];
    private readonly WaveBook _waves;

    internal SoundBook(WaveBook waves) => _waves = waves;

    public SoundFacts Facts(string path)
    {
        if (Stamp.Of(path) is not { } stamp)
            return new SoundFacts { Name = Path.GetFileName(path), Trouble = "It is not there any more." };
        if (_facts.Count > MostKept)
            _facts.Clear();
        return _facts.GetOrAdd(stamp, static s => Read(s));
    }

    /// <summary>The envelope of one channel over the whole file, if it is known already; else null.</summary>
    public Waveform? EnvelopeNow(string path, int columns, int channel = 0) =>
        Stamp.Of(path) is { } stamp
        && _envelopes.TryGetValue((stamp, columns, channel), out var known)
        && known.Value is { IsCompletedSuccessfully: true } done
            ? done.Result
            : null;

    /// <summary>The envelope of one channel over the whole file: the least and greatest sample of each column; null where it cannot be read.</summary>
    public Task<Waveform?> Envelope(string path, int columns, int channel = 0)
    {
        if (Stamp.Of(path) is not { } stamp)
            return Task.FromResult<Waveform?>(null);
        if (_envelopes.Count > MostKept)
            _envelopes.Clear();
        return _envelopes
            .GetOrAdd((stamp, columns, channel), key => new Lazy<Task<Waveform?>>(() => Draw(key.Stamp, columns, channel)))
            .Value;
    }

    private async Task<Waveform?> Draw(Stamp stamp, int columns, int channel) =>
        await _waves.FindWhole(stamp.Path) is { } wave ? WaveColumns.Of(wave.Peaks, columns, channel) : null;

    private static SoundFacts Read(Stamp stamp)
    {
        var facts = new SoundFacts { Name = Path.GetFileName(stamp.Path), ByteCount = stamp.ByteCount };
        try
        {
            using var reader = AudioFile.Open(stamp.Path);
            return facts with
            {
                SampleRateHz = reader.Format.SampleRateHz,
                ChannelCount = reader.Format.ChannelCount,
                FrameCount = reader.FrameCount,
                Notices = [.. reader.Notices],
            };
        }
        catch (Exception error) when (error is Fault or IOException or UnauthorizedAccessException)
        {
            return facts with { Trouble = Fault.FromInputError(stamp.Path, error).Message };
        }
    }

    private sealed record Stamp(string Path, long ByteCount, DateTime WrittenAt)
    {
        public static Stamp? Of(string path)
        {
            var file = new FileInfo(path);
            return file.Exists ? new Stamp(path, file.Length, file.LastWriteTimeUtc) : null;
        }
    }
}
