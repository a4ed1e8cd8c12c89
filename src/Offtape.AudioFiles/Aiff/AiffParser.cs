using System.Buffers.Binary;
using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>Walks the chunks of an AIFF or AIFC file, by the length of the file, never by a size in it alone.</summary>
internal sealed class AiffParser
{
    private const int MostChunks = 10_000;

    // SSND begins with an offset and a block size, 32 bits each, before the audio.
    private const int SoundHeadBytes = 8;

    private readonly FileBytes _file;
    private readonly Damage _damage;
    private readonly Chunks _chunks;
    private readonly AiffMetadataParser _metadata;
    private bool _isAifc;
    private long _formEnd;
    private AiffCommon? _common;
    private Sound? _sound;
    private long _walkedTo;

    private AiffParser(FileBytes file)
    {
        _file = file;
        _damage = new Damage(file.Path);
        _chunks = new Chunks(file, isBigEndian: true, "SSND", _damage);
        _metadata = new AiffMetadataParser(file, _damage);
    }

    private sealed record Sound(long Offset, long ByteCount, long BlockBytes, bool IsToEnd);

    public static bool IsAiff(ReadOnlySpan<byte> start) =>
        start.Length >= 12 && start.StartsWith("FORM"u8) && (start[8..12].SequenceEqual("AIFF"u8) || start[8..12].SequenceEqual("AIFC"u8));

    /// <exception cref="Fault">No format, no audio, or a format that cannot be read.</exception>
    public static ParsedAudio Parse(FileBytes file) => new AiffParser(file).Parse();

    private ParsedAudio Parse()
    {
        Span<byte> head = stackalloc byte[12];
        _file.ReadExactly(0, head);
        _isAifc = head[11] == 'C';
        var formSize = BinaryPrimitives.ReadUInt32BigEndian(head[4..]);
        _formEnd = formSize is 0 or Chunks.Unknown32 || 8L + formSize > _file.Length ? _file.Length : 8L + formSize;
        Walk();
        return Conclude();
    }

    private void Walk()
    {
        _walkedTo = 12;
        for (var count = 0; count < MostChunks; count++)
        {
            var isWhole = _common is not null && _sound is not null;
            if (isWhole && _walkedTo >= _formEnd || _chunks.HeadAt(_walkedTo) is not var (name, size32))
                break;
            var body = _walkedTo + Chunks.HeadBytes;
            long size = size32;
            if (name == "SSND" && _sound is null)
            {
                _sound = MeasureSound(body, size32, out size);
            }
            else if (size > _file.Length - body)
            {
                if (!isWhole)
                    break;
                _damage.TellCutChunk(name);
                _walkedTo = _file.Length;
                break;
            }
            else if (name == "COMM" && _common is null)
            {
                _common = AiffCommon.Read(_file, body, size, _isAifc, _damage);
            }
            else
            {
                _metadata.Read(name, body, size);
            }
            _walkedTo = Math.Min(_chunks.Next(body, size), _file.Length);
        }
        if (_sound is { IsToEnd: false } && _common is not null && _file.Length - _walkedTo > 1)
            _damage.TellTrailing(_file.Length - _walkedTo);
    }

    private Sound MeasureSound(long body, uint size32, out long size)
    {
        long? stated = size32 == Chunks.Unknown32 ? null : size32;
        (size, var isToEnd) = _chunks.MeasureAudio(body, stated, SoundHeadBytes, _formEnd, mayWrap: false);
        if (size < SoundHeadBytes)
            throw Fault.Input(_file.Path, "its audio chunk is cut off", body);
        Span<byte> head = stackalloc byte[SoundHeadBytes];
        _file.ReadExactly(body, head);
        var present = size - SoundHeadBytes;
        long offset = BinaryPrimitives.ReadUInt32BigEndian(head);
        if (offset > present)
        {
            _damage.Tell($"{_damage.Name} says its audio begins after its end. It is read from where it can begin.");
            offset = 0;
        }
        return new Sound(body + SoundHeadBytes + offset, present - offset, BinaryPrimitives.ReadUInt32BigEndian(head[4..]), isToEnd);
    }

    private ParsedAudio Conclude()
    {
        if (_common is not { } common)
            throw Fault.Input(_file.Path, "it does not say how its audio is stored (there is no \"COMM\" chunk before here)", _walkedTo);
        if (_sound is not { } sound)
            throw Fault.Input(_file.Path, "it holds no audio (there is no \"SSND\" chunk before here)", _walkedTo);
        var frameCount = FramesOf(common, sound);
        if (frameCount == 0)
            throw Fault.Input(_file.Path, "it holds no audio: its length is zero", sound.Offset);
        return new ParsedAudio(
            _isAifc ? AudioContainer.Aifc : AudioContainer.Aiff,
            common.Format,
            common.Layout,
            sound.Offset,
            frameCount,
            _metadata.ToMetadata(),
            _damage
        );
    }

    /// <summary>The length stands twice, in frames and in bytes. Where they differ, what is there is read.</summary>
    private long FramesOf(AiffCommon common, Sound sound)
    {
        long bytesPerFrame = common.Format.BytesPerFrame;
        var present = sound.ByteCount / bytesPerFrame;
        if (common.FrameCount == present || present == 0)
            return present;
        var isTold = !_damage.IsNone;
        if (common.FrameCount is 0 or Chunks.Unknown32)
        {
            if (!isTold)
                _damage.TellUnclosed(sound.ByteCount);
            return present;
        }
        if (common.FrameCount > present)
        {
            if (!isTold)
                _damage.TellCut(common.FrameCount * bytesPerFrame, sound.ByteCount);
            return present;
        }
        // Audio that is laid out in blocks is filled up to whole ones.
        var rest = sound.ByteCount - common.FrameCount * bytesPerFrame;
        if (!sound.IsToEnd && rest < Math.Min(sound.BlockBytes, 1 << 20))
            return common.FrameCount;
        if (!isTold)
            _damage.TellTooShort(common.FrameCount * bytesPerFrame, sound.ByteCount);
        return present;
    }
}
