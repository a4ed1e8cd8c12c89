using System.Buffers.Binary;
using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>
/// Walks the chunks of a RIFF/WAVE, RF64 (EBU Tech 3306) or BW64 (ITU-R BS.2088) file. The walk goes by the length of the file, never by
/// a size in it alone; each tolerance is written where it happens.
/// </summary>
internal sealed class RiffParser
{
    // Real files have a few dozen chunks. The limit keeps a hostile file of empty ones from holding the program up.
    private const int MostChunks = 10_000;

    private readonly FileBytes _file;
    private readonly Damage _damage;
    private readonly Chunks _chunks;
    private readonly RiffMetadataParser _metadata;
    private AudioContainer _container;
    private long _formEnd;
    private Ds64? _ds64;
    private WaveFormat? _format;
    private (long Offset, long ByteCount, bool IsToEnd)? _data;
    private long _walkedTo;

    private RiffParser(FileBytes file)
    {
        _file = file;
        _damage = new Damage(file.Path);
        _chunks = new Chunks(file, isBigEndian: false, "data", _damage);
        _metadata = new RiffMetadataParser(file, _damage);
    }

    /// <summary>Whether the first twelve bytes of a file are those of a WAVE.</summary>
    public static bool IsWave(ReadOnlySpan<byte> start) =>
        start.Length >= 12
        && (start.StartsWith("RIFF"u8) || start.StartsWith("RF64"u8) || start.StartsWith("BW64"u8))
        && start[8..12].SequenceEqual("WAVE"u8);

    /// <exception cref="Fault">No format, no audio, or a format that cannot be read.</exception>
    public static ParsedAudio Parse(FileBytes file) => new RiffParser(file).Parse();

    private ParsedAudio Parse()
    {
        Span<byte> head = stackalloc byte[12];
        _file.ReadExactly(0, head);
        _container =
            head[0] == 'B' ? AudioContainer.Bw64
            : head[1] == 'F' ? AudioContainer.Rf64
            : AudioContainer.Wav;
        var riffSize = BinaryPrimitives.ReadUInt32LittleEndian(head[4..]);
        _formEnd = riffSize is 0 or Chunks.Unknown32 || 8L + riffSize > _file.Length ? _file.Length : 8L + riffSize;
        Walk();
        return Conclude();
    }

    private void Walk()
    {
        _walkedTo = 12;
        for (var count = 0; count < MostChunks; count++)
        {
            var isWhole = _format is not null && _data is not null;
            if (isWhole && _walkedTo >= _formEnd || _chunks.HeadAt(_walkedTo) is not var (name, size32))
                break;
            var body = _walkedTo + Chunks.HeadBytes;
            var size = SizeOf(name, size32);
            if (name == "data" && _data is null)
            {
                var (byteCount, isToEnd) = _chunks.MeasureAudio(body, size, 0, _formEnd, mayWrap: _container == AudioContainer.Wav);
                _data = (body, byteCount, isToEnd);
                size = byteCount;
            }
            else if (name == "fmt " && _format is null)
            {
                size = FormatSize(body, size ?? 0);
                _format = WaveFormat.Read(_file, body, size.Value, _damage);
            }
            else if (size is null || size > _file.Length - body)
            {
                if (!isWhole)
                    break;
                _damage.TellCutChunk(name);
                _walkedTo = _file.Length;
                break;
            }
            else if (name == "ds64")
            {
                TakeDs64(body, size.Value);
            }
            else
            {
                _metadata.Read(name, body, size.Value);
            }
            _walkedTo = Math.Min(_chunks.Next(body, size.Value), _file.Length);
        }
        if (_data is { IsToEnd: false } && _format is not null && _file.Length - _walkedTo > 1)
            _damage.TellTrailing(_file.Length - _walkedTo);
    }

    /// <summary>The stated size of a chunk; null when it is not known.</summary>
    private long? SizeOf(string name, uint size32)
    {
        if (size32 != Chunks.Unknown32)
            return size32;
        return _ds64?.SizeOf(name) is >= 0 and var size ? size : null;
    }

    private void TakeDs64(long body, long size)
    {
        if (_container == AudioContainer.Wav)
            return;
        _ds64 = Ds64.Read(_file, body, size);
        if (_ds64 is { RiffSize: > 0 } ds64)
            _formEnd = ds64.RiffSize <= _file.Length - 8 ? 8 + ds64.RiffSize : _file.Length;
    }

    /// <summary>Where the format chunk really ends: some writers state another size than they write.</summary>
    private long FormatSize(long body, long stated)
    {
        if (_chunks.IsChunkAfter(body, stated))
            return stated;
        foreach (var usual in (ReadOnlySpan<long>)[16, 18, 40])
            if (usual != stated && _chunks.IsChunkAfter(body, usual))
            {
                _damage.Tell($"{_damage.Name} states a wrong size for its format. The format itself is sound.");
                return usual;
            }
        return Math.Min(stated, _file.Length - body);
    }

    private ParsedAudio Conclude()
    {
        if (_format is not { } format)
            throw Fault.Input(_file.Path, "it does not say how its audio is stored (there is no \"fmt\" chunk before here)", _walkedTo);
        if (_data is not { } data)
            throw Fault.Input(_file.Path, "it holds no audio (there is no \"data\" chunk before here)", _walkedTo);
        var frameCount = data.ByteCount / format.Format.BytesPerFrame;
        if (frameCount == 0)
            throw Fault.Input(_file.Path, "it holds no audio: its length is zero", data.Offset);
        if (data.ByteCount % format.Format.BytesPerFrame != 0 && !data.IsToEnd)
            _damage.TellPartialFrame();
        return new ParsedAudio(
            _container,
            format.Format,
            SampleLayout.LittleEndian(format.Format.Encoding),
            data.Offset,
            frameCount,
            _metadata.ToMetadata() with
            {
                ChannelMask = format.ChannelMask,
            },
            _damage
        );
    }
}
