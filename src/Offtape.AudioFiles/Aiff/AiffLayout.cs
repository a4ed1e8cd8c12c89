using System.Buffers.Binary;
using System.Text;

namespace Offtape.AudioFiles;

/// <summary>The chunks of an AIFF file around its audio; of an AIFC file, where that is asked for or the samples are floating point.</summary>
internal sealed class AiffLayout : IContainerLayout
{
    // The only version of AIFF-C there is, of 23 May 1990, as its specification gives it.
    private static ReadOnlySpan<byte> Version => [0xA2, 0x80, 0x51, 0x40];

    private readonly AudioFormat _format;
    private readonly bool _isAifc;
    private readonly long _sizeLimitBytes;
    private readonly List<(string Name, byte[] Data)> _chunks = [];

    public AiffLayout(AudioFormat format, AudioMetadata metadata, AudioContainer container, long sizeLimitBytes)
    {
        _format = format;
        _isAifc = container == AudioContainer.Aifc || format.IsFloat;
        _sizeLimitBytes = sizeLimitBytes;
        Samples = SampleLayout.BigEndian(format.Encoding);
        AddMarkers(metadata);
        foreach (var other in metadata.OtherChunks)
            if (other.Family == ChunkFamily.Iff)
                _chunks.Add((other.Name, other.Data));
    }

    public SampleLayout Samples { get; }

    public long MostDataBytes => _sizeLimitBytes - Header(0).Length;

    public byte[] Header(long dataByteCount)
    {
        var bytes = new MemoryStream();
        bytes.Write("FORM"u8);
        PutUInt32(bytes, 0);
        bytes.Write(_isAifc ? "AIFC"u8 : "AIFF"u8);
        if (_isAifc)
            PutChunk(bytes, "FVER", Version);
        PutChunk(bytes, "COMM", Common(dataByteCount / _format.BytesPerFrame));
        foreach (var (name, data) in _chunks)
            PutChunk(bytes, name, data);
        bytes.Write("SSND"u8);
        PutUInt32(bytes, (uint)(8 + dataByteCount));
        PutUInt32(bytes, 0);
        PutUInt32(bytes, 0);
        var header = bytes.ToArray();
        BinaryPrimitives.WriteUInt32BigEndian(header.AsSpan(4), (uint)(header.Length - 8 + dataByteCount + (dataByteCount & 1)));
        return header;
    }

    public byte[] Trailer(long dataByteCount) => new byte[dataByteCount & 1];

    private byte[] Common(long frameCount)
    {
        var (kind, words) = _format.Encoding switch
        {
            SampleEncoding.Float32 => ("fl32", "32-bit floating point"),
            SampleEncoding.Float64 => ("fl64", "64-bit floating point"),
            _ => ("NONE", "not compressed"),
        };
        // The words are preceded by their length; both together fill an even number of bytes.
        var bytes = new byte[AiffCommon.ByteCount + (_isAifc ? 4 + (1 + words.Length + 1) / 2 * 2 : 0)];
        var fields = bytes.AsSpan();
        BinaryPrimitives.WriteUInt16BigEndian(fields, (ushort)_format.ChannelCount);
        BinaryPrimitives.WriteUInt32BigEndian(fields[2..], (uint)frameCount);
        BinaryPrimitives.WriteUInt16BigEndian(fields[6..], (ushort)(8 * _format.BytesPerSample));
        ExtendedFloat.Write((uint)_format.SampleRateHz, fields[8..]);
        if (_isAifc)
        {
            Encoding.Latin1.GetBytes(kind, fields[AiffCommon.ByteCount..]);
            fields[AiffCommon.ByteCount + 4] = (byte)words.Length;
            Encoding.Latin1.GetBytes(words, fields[(AiffCommon.ByteCount + 5)..]);
        }
        return bytes;
    }

    private void AddMarkers(AudioMetadata metadata)
    {
        // Markers have 16-bit numbers above zero. Points that have others are numbered anew.
        var points = metadata.CuePoints.Where(p => p.Frame is >= 0 and <= uint.MaxValue).Take(60_000).ToList();
        if (points.Any(p => p.Id is 0 or > 32_767) || points.DistinctBy(p => p.Id).Count() < points.Count)
            points = [.. points.Select((p, i) => p with { Id = (uint)i + 1 })];
        ushort loopStartId = 0;
        ushort loopEndId = 0;
        if (metadata.Sampler is { Loops: [var loop, ..] } && loop.StartFrame >= 0 && loop.EndFrame < uint.MaxValue)
        {
            loopStartId = MarkerAt(points, loop.StartFrame);
            loopEndId = MarkerAt(points, loop.EndFrame + 1);
        }
        if (points.Count > 0)
            _chunks.Add(("MARK", MarkerChunk.Write(points)));
        if (metadata.Sampler is { } sampler)
            _chunks.Add(("INST", InstrumentChunk.Write(sampler, loopStartId, loopEndId)));
    }

    /// <summary>The number of the marker at a frame; one is added where there is none.</summary>
    private static ushort MarkerAt(List<CuePoint> points, long frame)
    {
        if (points.Find(p => p.Frame == frame) is { } present)
            return (ushort)present.Id;
        var id = points.Count == 0 ? 1 : points.Max(p => p.Id) + 1;
        points.Add(new CuePoint(id, frame));
        return (ushort)id;
    }

    private static void PutChunk(MemoryStream bytes, string name, ReadOnlySpan<byte> data)
    {
        bytes.Write(Encoding.Latin1.GetBytes(name));
        PutUInt32(bytes, (uint)data.Length);
        bytes.Write(data);
        if ((data.Length & 1) == 1)
            bytes.WriteByte(0);
    }

    private static void PutUInt32(MemoryStream bytes, uint value)
    {
        Span<byte> field = stackalloc byte[4];
        BinaryPrimitives.WriteUInt32BigEndian(field, value);
        bytes.Write(field);
    }
}
