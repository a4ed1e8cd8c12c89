using System.Buffers.Binary;
using System.Text;
using System.Text.Unicode;

namespace Offtape.AudioFiles;

/// <summary>
/// The `cue ` chunk and the list `adtl` that names its points: the RIFF specification (Multimedia Programming Interface and Data
/// Specifications 1.0, 1991). Texts are written as UTF-8; what is no UTF-8 is read as Latin-1.
/// </summary>
internal sealed class CueChunks
{
    private const int PointBytes = 24;

    private readonly List<CuePoint> _points = [];
    private readonly Dictionary<uint, string> _labels = [];
    private readonly Dictionary<uint, string> _notes = [];
    private readonly Dictionary<uint, (uint LengthFrames, string Purpose)> _stretches = [];

    public void ReadPoints(ReadOnlySpan<byte> chunk)
    {
        if (chunk.Length < 4)
            return;
        var count = (int)Math.Min(UInt32(chunk), (chunk.Length - 4) / PointBytes);
        for (var i = 0; i < count; i++)
        {
            // Its number, place in a play list, name of its chunk, start of chunk, start of block, and the frame within the audio.
            var point = chunk.Slice(4 + i * PointBytes, PointBytes);
            _points.Add(new CuePoint(UInt32(point), UInt32(point[20..])));
        }
    }

    /// <param name="list">What follows "adtl".</param>
    public void ReadLabels(ReadOnlySpan<byte> list)
    {
        while (list.Length >= 12)
        {
            var size = UInt32(list[4..]);
            var body = list[8..];
            if (size < 4 || size > body.Length)
                return;
            body = body[..(int)size];
            var id = UInt32(body);
            if (list.StartsWith("labl"u8))
                _labels[id] = Text(body[4..]);
            else if (list.StartsWith("note"u8))
                _notes[id] = Text(body[4..]);
            else if (list.StartsWith("ltxt"u8) && body.Length >= 12)
                _stretches[id] = (UInt32(body[4..]), Encoding.Latin1.GetString(body.Slice(8, 4)));
            list = list[Math.Min(list.Length, 8 + (int)size + ((int)size & 1))..];
        }
    }

    public IReadOnlyList<CuePoint> ToCuePoints() =>
        [
            .. _points.Select(p =>
                p with
                {
                    Label = _labels.GetValueOrDefault(p.Id),
                    Note = _notes.GetValueOrDefault(p.Id),
                    LengthFrames = _stretches.GetValueOrDefault(p.Id).LengthFrames,
                    Purpose = _stretches.GetValueOrDefault(p.Id).Purpose ?? "",
                }
            ),
        ];

    /// <summary>None, one or two chunks. Points beyond what 32 bits can say are left out.</summary>
    public static IEnumerable<(string Id, byte[] Data)> Write(IReadOnlyList<CuePoint> points)
    {
        var writable = points.Where(p => p.Frame is >= 0 and <= uint.MaxValue).ToList();
        if (writable.Count == 0)
            yield break;
        yield return ("cue ", WritePoints(writable));
        if (WriteLabels(writable) is { Length: > 4 } labels)
            yield return ("LIST", labels);
    }

    private static byte[] WritePoints(List<CuePoint> points)
    {
        var bytes = new byte[4 + PointBytes * points.Count];
        BinaryPrimitives.WriteUInt32LittleEndian(bytes, (uint)points.Count);
        for (var i = 0; i < points.Count; i++)
        {
            var point = bytes.AsSpan(4 + i * PointBytes, PointBytes);
            BinaryPrimitives.WriteUInt32LittleEndian(point, points[i].Id);
            BinaryPrimitives.WriteUInt32LittleEndian(point[4..], (uint)points[i].Frame);
            "data"u8.CopyTo(point[8..]);
            BinaryPrimitives.WriteUInt32LittleEndian(point[20..], (uint)points[i].Frame);
        }
        return bytes;
    }

    private static byte[] WriteLabels(List<CuePoint> points)
    {
        var bytes = new MemoryStream();
        bytes.Write("adtl"u8);
        foreach (var point in points)
        {
            if (point.Label is { } label)
                PutText(bytes, "labl"u8, point.Id, label);
            if (point.Note is { } note)
                PutText(bytes, "note"u8, point.Id, note);
            if (point.LengthFrames > 0 || point.Purpose.Length > 0)
            {
                var stretch = new byte[20];
                BinaryPrimitives.WriteUInt32LittleEndian(stretch, point.Id);
                BinaryPrimitives.WriteUInt32LittleEndian(stretch.AsSpan(4), (uint)Math.Clamp(point.LengthFrames, 0, uint.MaxValue));
                var purpose = point.Purpose.Length == 0 ? "rgn " : point.Purpose.PadRight(4)[..4];
                Encoding.Latin1.GetBytes(purpose, stretch.AsSpan(8));
                PutChunk(bytes, "ltxt"u8, stretch);
            }
        }
        return bytes.ToArray();
    }

    private static void PutText(MemoryStream bytes, ReadOnlySpan<byte> name, uint id, string text)
    {
        var data = new byte[4 + Encoding.UTF8.GetByteCount(text) + 1];
        BinaryPrimitives.WriteUInt32LittleEndian(data, id);
        Encoding.UTF8.GetBytes(text, data.AsSpan(4));
        PutChunk(bytes, name, data);
    }

    private static void PutChunk(MemoryStream bytes, ReadOnlySpan<byte> name, ReadOnlySpan<byte> data)
    {
        Span<byte> size = stackalloc byte[4];
        BinaryPrimitives.WriteUInt32LittleEndian(size, (uint)data.Length);
        bytes.Write(name);
        bytes.Write(size);
        bytes.Write(data);
        if ((data.Length & 1) == 1)
            bytes.WriteByte(0);
    }

    private static string Text(ReadOnlySpan<byte> bytes)
    {
        var end = bytes.IndexOf((byte)0);
        var text = end < 0 ? bytes : bytes[..end];
        return Utf8.IsValid(text) ? Encoding.UTF8.GetString(text) : Encoding.Latin1.GetString(text);
    }

    private static uint UInt32(ReadOnlySpan<byte> bytes) => BinaryPrimitives.ReadUInt32LittleEndian(bytes);
}
