using System.Buffers.Binary;
using System.Text;

namespace Offtape.AudioFiles;

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
