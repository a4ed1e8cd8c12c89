using System.Buffers.Binary;
using System.Text;
using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>
/// Walks the chunks of a RIFF/WAVE, RF64 (EBU Tech 3306) or BW64 (ITU-R BS.2088) file. The walk goes by the length of the file, never by
/// a size in it alone; each tolerance is written where it happens.
/// </summary>
internal sealed class RiffParser
{
    private const uint Unknown32 = 0xFFFF_FFFF;

    // Real files have a few dozen chunks. The limit keeps a hostile file of empty ones from holding the program up.
    private const int MostChunks = 10_000;

    private readonly FileBytes _file;
    private readonly Damage _damage;
    private readonly RiffMetadataParser _metadata;
    private AudioContainer _container;
    private long _formEnd;
    private Ds64? _ds64;
    private WaveFormat? _format;
    private (long Offset, long ByteCount, bool IsToEnd)? _data;

    private RiffParser(FileBytes file)
    {
        _file = file;
        _damage = new Damage(file.Path);
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
        _formEnd = riffSize is 0 or Unknown32 || 8L + riffSize > _file.Length ? _file.Length : 8L + riffSize;
        Walk();
        return Conclude();
    }

    private void Walk()
    {
        Span<byte> head = stackalloc byte[8];
        long position = 12;
        for (var count = 0; count < MostChunks && position + 8 <= _file.Length; count++)
        {
            if (_format is not null && _data is not null && position >= _formEnd)
                break;
            _file.ReadExactly(position, head);
            var id = Encoding.Latin1.GetString(head[..4]);
            long size = BinaryPrimitives.ReadUInt32LittleEndian(head[4..]);
            var body = position + 8;
            var remaining = _file.Length - body;
            if (!RiffChunks.IsName(head))
                break;
            if (size == Unknown32 && _container != AudioContainer.Wav)
                size = _ds64?.SizeOf(id) ?? size;
            if (id == "data" && _data is null)
            {
                size = MeasureData(body, size, remaining);
            }
            else if (id == "fmt " && _format is null)
            {
                _format = WaveFormat.Read(_file, body, Math.Min(size, remaining), _damage);
                size = FormatSize(body, size);
            }
            else if (size > remaining)
            {
                _damage.Tell($"{_damage.Name} is cut off in its chunk \"{id}\", which is left out.");
                position = _file.Length;
                break;
            }
            else if (id == "ds64")
            {
                _ds64 = Ds64.Read(_file, body, size);
                if (_ds64 is { RiffSize: > 0 } ds64 && ds64.RiffSize <= _file.Length - 8)
                    _formEnd = 8 + ds64.RiffSize;
            }
            else
            {
                _metadata.Read(id, body, size);
            }
            position = RiffChunks.Next(_file, body, size, _damage);
        }
        if (_data is { IsToEnd: false } && _format is not null && _file.Length - position > 1)
            _damage.Tell(
                $"{_damage.Name} goes on after its end with {Words.Count(_file.Length - position, "byte")} that are no part of it. They are left out."
            );
    }

    /// <summary>How many bytes of audio there really are, and where the walk goes on: as the size of the chunk.</summary>
    private long MeasureData(long body, long stated, long remaining)
    {
        // A recorder that died leaves the sizes it wrote first: zero, or all ones. A file that is truly empty goes on with other chunks.
        var isUnknown = stated < 0 || stated == Unknown32 && remaining < Unknown32 || stated == long.MaxValue;
        if (stated == 0 && remaining > 0 && !RiffChunks.IsSoundRun(_file, body))
            isUnknown = true;
        if (isUnknown)
        {
            _damage.TellUnclosed(remaining);
            _data = (body, remaining, true);
            return remaining;
        }
        if (stated > remaining)
        {
            _damage.TellCut(stated, remaining);
            _data = (body, remaining, true);
            return remaining;
        }
        var endExcl = body + stated;
        if (endExcl + 8 <= _file.Length && !RiffChunks.IsChunkAfter(_file, body, stated))
        {
            // Writers that know no RF64 count beyond 4 GB and start again at zero.
            var wrapped = _container == AudioContainer.Wav ? (remaining - stated) / (1L << 32) * (1L << 32) : 0;
            if (wrapped > 0 || _formEnd == _file.Length)
            {
                // The form is as long as the file and there is no chunk where the audio is said to end: the size of the audio is wrong.
                _damage.Tell(
                    $"{_damage.Name} says its audio is {Words.Count(stated, "byte")} long and it goes on to the end of the file. "
                        + $"Reading the {Words.ByteSize(remaining)} that are there."
                );
                _data = (body, remaining, true);
                return remaining;
            }
        }
        _data = (body, stated, false);
        return stated;
    }

    /// <summary>Where the format chunk really ends: some writers state another size than they write.</summary>
    private long FormatSize(long body, long stated)
    {
        if (stated <= _file.Length - body && RiffChunks.IsChunkAfter(_file, body, stated))
            return stated;
        foreach (var usual in (ReadOnlySpan<long>)[16, 18, 40])
            if (usual != stated && RiffChunks.IsChunkAfter(_file, body, usual))
            {
                _damage.Tell($"{_damage.Name} states a wrong size for its format. The format itself is sound.");
                return usual;
            }
        return Math.Min(stated, _file.Length - body);
    }

    private ParsedAudio Conclude()
    {
        if (_format is not { } format)
            throw Fault.Input(_file.Path, "it does not say how its audio is stored (no \"fmt \" chunk)", 12);
        if (_data is not { } data)
            throw Fault.Input(_file.Path, "it holds no audio (no \"data\" chunk)", _file.Length);
        var frameCount = data.ByteCount / format.Format.BytesPerFrame;
        if (frameCount == 0)
            throw Fault.Input(_file.Path, "it holds no audio: its length is zero", data.Offset);
        if (data.ByteCount % format.Format.BytesPerFrame != 0 && !data.IsToEnd)
            _damage.Tell($"{_damage.Name} ends in the middle of a frame, which is left out.");
        var metadata = _metadata.ToMetadata() with { ChannelMask = format.ChannelMask };
        return new ParsedAudio(
            _container,
            format.Format,
            SampleLayout.LittleEndian(format.Format.Encoding),
            data.Offset,
            frameCount,
            metadata,
            _damage
        );
    }
}
