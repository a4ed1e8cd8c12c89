using System.Buffers.Binary;
using System.Text;

namespace Offtape.AudioFiles;

/// <summary>
/// The chunks of a WAV file around its audio. A JUNK chunk stands first, of the size of a ds64: when the file grows beyond what 32 bits
/// can say, it becomes one and the file an RF64 (EBU Tech 3306), without a byte of audio being moved.
/// </summary>
internal sealed class RiffLayout : IContainerLayout
{
    private const uint Unknown32 = 0xFFFF_FFFF;

    private readonly AudioFormat _format;
    private readonly AudioContainer _container;
    private readonly long _sizeLimitBytes;
    private readonly List<(string Name, byte[] Data)> _chunks = [];

    public RiffLayout(AudioFormat format, AudioMetadata metadata, AudioContainer container, long sizeLimitBytes)
    {
        _format = format;
        _container = container;
        _sizeLimitBytes = sizeLimitBytes;
        Samples = SampleLayout.LittleEndian(format.Encoding);
        if (metadata.Broadcast is not null || metadata.TimeReferenceFrames is not null)
            _chunks.Add(("bext", BextChunk.Write(metadata.Broadcast ?? new BroadcastExtension(), metadata.TimeReferenceFrames)));
        if (metadata.Ixml is { } ixml)
            _chunks.Add(("iXML", Encoding.UTF8.GetBytes(ixml)));
        _chunks.Add(("fmt ", WaveFormatWriter.Write(format, metadata.ChannelMask)));
        _chunks.AddRange(CueChunks.Write(metadata.CuePoints));
        if (metadata.Sampler is { } sampler)
            _chunks.Add(("smpl", SmplChunk.Write(sampler, format.SampleRateHz)));
        foreach (var other in metadata.OtherChunks)
            if (other.Family == ChunkFamily.Riff)
                _chunks.Add((other.Name, other.Data));
    }

    public SampleLayout Samples { get; }

    public long MostDataBytes => long.MaxValue / 2;

    public byte[] Header(long dataByteCount)
    {
        var bytes = new MemoryStream();
        var length = HeaderLength;
        var riffSize = length - 8 + dataByteCount + (dataByteCount & 1);
        var isLarge = _container is AudioContainer.Rf64 or AudioContainer.Bw64 || riffSize > _sizeLimitBytes;
        var frameCount = dataByteCount / _format.BytesPerFrame;
        bytes.Write(
            !isLarge ? "RIFF"u8
            : _container == AudioContainer.Bw64 ? "BW64"u8
            : "RF64"u8
        );
        PutUInt32(bytes, isLarge ? Unknown32 : (uint)riffSize);
        bytes.Write("WAVE"u8);

        Span<byte> sizes = stackalloc byte[Ds64.ByteCount];
        sizes.Clear();
        if (isLarge)
        {
            BinaryPrimitives.WriteInt64LittleEndian(sizes, riffSize);
            BinaryPrimitives.WriteInt64LittleEndian(sizes[8..], dataByteCount);
            // BS.2088 keeps this field as a dummy; Tech 3306 puts the frame count of the `fact` chunk here.
            BinaryPrimitives.WriteInt64LittleEndian(sizes[16..], _container == AudioContainer.Bw64 ? 0 : frameCount);
        }
        PutChunk(bytes, isLarge ? "ds64" : "JUNK", sizes);
        foreach (var (name, data) in _chunks)
        {
            PutChunk(bytes, name, data);
            // Every format but plain PCM needs the count of frames beside it.
            if (name == "fmt " && _format.IsFloat)
            {
                bytes.Write("fact"u8);
                PutUInt32(bytes, 4);
                PutUInt32(bytes, (uint)Math.Min(frameCount, Unknown32));
            }
        }
        bytes.Write("data"u8);
        PutUInt32(bytes, isLarge ? Unknown32 : (uint)dataByteCount);
        return bytes.ToArray();
    }

    public byte[] Trailer(long dataByteCount) => new byte[dataByteCount & 1];

    private long HeaderLength =>
        12 + 8 + Ds64.ByteCount + _chunks.Sum(c => 8L + c.Data.Length + (c.Data.Length & 1)) + (_format.IsFloat ? 12 : 0) + 8;

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
        BinaryPrimitives.WriteUInt32LittleEndian(field, value);
        bytes.Write(field);
    }
}
