using System.Buffers.Binary;
using System.Text;

namespace Offtape.AudioFiles;

/// <summary>Gathers what an AIFF says besides the audio.</summary>
internal sealed class AiffMetadataParser(FileBytes file, Damage damage)
{
    // All of it is kept in memory, so it is bounded.
    private const long MostBytes = 8 * 1024 * 1024;

    private readonly List<RawChunk> _others = [];
    private IReadOnlyList<CuePoint> _markers = [];
    private byte[]? _instrument;
    private long _byteCount;

    /// <summary>Takes a chunk that lies wholly within the file.</summary>
    public void Read(string name, long body, long size)
    {
        if (name is "FVER" or "COMM" or "SSND" or "FLLR" or "PEAK")
            return;
        if (_byteCount + size > MostBytes)
        {
            damage.Tell($"{damage.Name} has a chunk \"{name.TrimEnd()}\" too large to carry along. It is left out.");
            return;
        }
        _byteCount += size;
        var bytes = file.Copy(body, (int)size);
        switch (name)
        {
            case "MARK":
                _markers = MarkerChunk.Read(bytes);
                break;
            case "INST" when size >= InstrumentChunk.ByteCount:
                _instrument = bytes;
                break;
            default:
                _others.Add(new RawChunk(ChunkFamily.Iff, name, bytes));
                break;
        }
    }

    public AudioMetadata ToMetadata() =>
        new()
        {
            CuePoints = _markers,
            Sampler = _instrument is null ? null : InstrumentChunk.Read(_instrument, _markers),
            OtherChunks = _others,
        };
}

/// <summary>The `MARK` chunk: a count, then for each marker its number (16 bits, above 0), its frame, and its name after a length byte.</summary>
internal static class MarkerChunk
{
    public static IReadOnlyList<CuePoint> Read(ReadOnlySpan<byte> chunk)
    {
        var points = new List<CuePoint>();
        if (chunk.Length < 2)
            return points;
        int count = BinaryPrimitives.ReadUInt16BigEndian(chunk);
        chunk = chunk[2..];
        for (var i = 0; i < count && chunk.Length >= 7; i++)
        {
            int length = chunk[6];
            if (chunk.Length < 7 + length)
                break;
            points.Add(
                new CuePoint(BinaryPrimitives.ReadUInt16BigEndian(chunk), BinaryPrimitives.ReadUInt32BigEndian(chunk[2..]))
                {
                    Label = Encoding.Latin1.GetString(chunk.Slice(7, length)),
                }
            );
            // Name and length byte together fill an even number of bytes.
            chunk = chunk[Math.Min(chunk.Length, 7 + length + ((length + 1) & 1))..];
        }
        return points;
    }

    public static byte[] Write(IReadOnlyList<CuePoint> points)
    {
        var bytes = new MemoryStream();
        Span<byte> head = stackalloc byte[7];
        BinaryPrimitives.WriteUInt16BigEndian(head, (ushort)points.Count);
        bytes.Write(head[..2]);
        foreach (var point in points)
        {
            var name = Encoding.Latin1.GetBytes(point.Label ?? "");
            var length = Math.Min(name.Length, 255);
            BinaryPrimitives.WriteUInt16BigEndian(head, (ushort)point.Id);
            BinaryPrimitives.WriteUInt32BigEndian(head[2..], (uint)point.Frame);
            head[6] = (byte)length;
            bytes.Write(head);
            bytes.Write(name.AsSpan(0, length));
            if ((length & 1) == 0)
                bytes.WriteByte(0);
        }
        return bytes.ToArray();
    }
}
