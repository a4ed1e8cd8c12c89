using System.Runtime.InteropServices;
using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>Reads a file through the codec library.</summary>
internal sealed class CodecReader : IAudioReader
{
    private const int BlockFrames = 4096;

    // A lossy decoder that starts in the middle of a stream is wrong at first: it lacks the block before, which overlaps (Vorbis: up to 8192
    // frames), and bits that earlier frames left for it (MP3: 511 bytes, five frames of 1152 at the lowest rate). So it starts before the
    // place that is wanted; twice the longest block is more than either needs.
    private const int LossySettlingFrames = 16_384;

    private readonly CodecLibrary _library;
    private readonly CodecBridge _bridge;
    private readonly Damage _damage;
    private readonly NonFiniteTally _nonFinite;
    private readonly int _settlingFrames;
    private readonly float[] _scratch = [];
    private nint _file;
    private long _position;

    private CodecReader(CodecLibrary library, CodecBridge bridge, string path, string kind)
    {
        (_library, _bridge, Path) = (library, bridge, path);
        _damage = new Damage(path);
        _nonFinite = new NonFiniteTally(_damage.Name);
        var info = OpenFile(kind);
        try
        {
            Container = CodecNumbers.Container(info.Format) ?? throw Fault.Input(path, "it is a kind of audio file that is not read", 0);
            FormatLimits.CheckChannelCount(path, info.ChannelCount, null);
            FormatLimits.CheckSampleRate(path, info.SampleRateHz, null);
            Format = new AudioFormat(info.SampleRateHz, info.ChannelCount, CodecNumbers.Encoding(info.Format));
            _scratch = new float[BlockFrames * info.ChannelCount];
            _settlingFrames = Container is AudioContainer.Mp3 or AudioContainer.OggVorbis or AudioContainer.Opus ? LossySettlingFrames : 0;
            FrameCount = SoundFrames(info.FrameCount, kind);
            if (FrameCount == 0)
                throw Fault.Input(path, "it holds no audio: its length is zero");
        }
        catch
        {
            CloseFile();
            throw;
        }
    }

    public string Path { get; }

    public AudioContainer Container { get; }

    public AudioFormat Format { get; }

    public long FrameCount { get; }

    public AudioMetadata Metadata => AudioMetadata.Empty;

    public IReadOnlyList<Notice> Notices => _nonFinite.Join(_damage.ToNotices());

    /// <param name="file">The file; the reader takes it over when it is made.</param>
    /// <param name="kind">What its first bytes say it is.</param>
    /// <param name="library">Null when the codec library is not installed.</param>
    /// <exception cref="Fault">The library is missing, or the file cannot be decoded.</exception>
    public static CodecReader Open(FileBytes file, string kind, CodecLibrary? library) =>
        library is null
            ? throw CodecLibrary.MissingForReading(file.Path, kind)
            : new CodecReader(library, new ReadingBridge(file), file.Path, kind);

    public int Read(long startFrame, Span<float> interleaved)
    {
        var frameCount = FramesFor(startFrame, interleaved.Length);
        var samples = interleaved[..(frameCount * Format.ChannelCount)];
        if (frameCount == 0)
            return 0;
        SeekTo(startFrame);
        var read = _library.ReadFloat(_file, ref MemoryMarshal.GetReference(samples), frameCount);
        samples[Advance(read, frameCount)..].Clear();
        if (SampleDecoder.HasNonFinite(samples))
            _nonFinite.Silence(samples, startFrame, Format.ChannelCount);
        return frameCount;
    }

    public int ReadExact(long startFrame, Span<double> interleaved)
    {
        var frameCount = FramesFor(startFrame, interleaved.Length);
        var samples = interleaved[..(frameCount * Format.ChannelCount)];
        if (frameCount == 0)
            return 0;
        SeekTo(startFrame);
        var read = _library.ReadDouble(_file, ref MemoryMarshal.GetReference(samples), frameCount);
        samples[Advance(read, frameCount)..].Clear();
        return frameCount;
    }

    public void Dispose()
    {
        CloseFile();
        _bridge.Dispose();
    }

    private CodecInfo OpenFile(string kind)
    {
        _bridge.Rewind();
        var callbacks = _bridge.Callbacks;
        var info = new CodecInfo();
        _file = _library.OpenVirtual(ref callbacks, CodecNumbers.ModeRead, ref info, 0);
        _bridge.Rethrow();
        if (_file == 0)
            throw Fault.Input(Path, $"it looks like {kind} and cannot be decoded ({_library.LastError(0)})", 0);
        _position = 0;
        return info;
    }

    private void CloseFile()
    {
        if (_file != 0)
            _ = _library.Close(_file);
        _file = 0;
    }

    /// <summary>
    /// A codec's header is believed only after its last frame has been decoded. A file that has been cut off, or that does not say how long
    /// it is, is decoded once from end to end to learn how far it is sound.
    /// </summary>
    private long SoundFrames(long stated, string kind)
    {
        if (stated is > 0 and < long.MaxValue / 2)
        {
            var isThere =
                _library.Seek(_file, stated - 1, 0) == stated - 1
                && _library.ReadFloat(_file, ref MemoryMarshal.GetArrayDataReference(_scratch), 1) == 1;
            _position = -1;
            _bridge.Rethrow();
            if (isThere)
                return stated;
        }
        else if (stated == 0)
        {
            return 0;
        }
        CloseFile();
        _ = OpenFile(kind);
        long present = 0;
        long read;
        do
        {
            read = _library.ReadFloat(_file, ref MemoryMarshal.GetArrayDataReference(_scratch), BlockFrames);
            _bridge.Rethrow();
            present += Math.Max(0, read);
        } while (read > 0);
        _position = -1;
        if (stated < long.MaxValue / 2 && present < stated && present > 0)
            _damage.Tell(
                $"{_damage.Name} says it holds {Words.Clock(Conversions.FramesToSeconds(stated, Format.SampleRateHz))} and can be decoded "
                    + $"up to {Words.Clock(Conversions.FramesToSeconds(present, Format.SampleRateHz))}. Reading that."
            );
        return present;
    }

    private void SeekTo(long frame)
    {
        if (_position == frame)
            return;
        var from = _settlingFrames == 0 ? frame : Math.Max(0, frame - _settlingFrames);
        // A little way ahead is reached by decoding on.
        if (_position < from || _position > frame)
        {
            _position = -1;
            var reached = _library.Seek(_file, from, 0);
            _bridge.Rethrow();
            if (reached != from)
                throw Fault.Input(
                    Path,
                    $"it cannot be decoded from {Words.Clock(Conversions.FramesToSeconds(frame, Format.SampleRateHz))} on"
                );
            _position = from;
        }
        while (_position < frame)
        {
            var count = _library.ReadFloat(
                _file,
                ref MemoryMarshal.GetArrayDataReference(_scratch),
                Math.Min(BlockFrames, frame - _position)
            );
            _bridge.Rethrow();
            if (count <= 0)
                throw Fault.Input(
                    Path,
                    $"it cannot be decoded from {Words.Clock(Conversions.FramesToSeconds(frame, Format.SampleRateHz))} on"
                );
            _position += count;
        }
    }

    /// <summary>The count of samples that were decoded. What could not be, within the length, is silence, and told.</summary>
    private int Advance(long read, int wanted)
    {
        _bridge.Rethrow();
        read = Math.Max(0, read);
        if (read < wanted)
        {
            _damage.Tell(
                $"{_damage.Name} cannot be decoded at {Words.Clock(Conversions.FramesToSeconds(_position + read, Format.SampleRateHz))}. "
                    + "It is read as silence there."
            );
            _position = -1;
        }
        else
        {
            _position += read;
        }
        return (int)read * Format.ChannelCount;
    }

    private int FramesFor(long startFrame, int sampleCount)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(startFrame);
        ObjectDisposedException.ThrowIf(_file == 0, this);
        return (int)Math.Clamp(FrameCount - startFrame, 0, sampleCount / Format.ChannelCount);
    }
}
