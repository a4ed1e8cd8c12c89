using System.Buffers.Binary;
using System.Text;

namespace Offtape.AudioFiles;

/// <summary>The 64-bit sizes of an RF64 or BW64 file (EBU Tech 3306, ITU-R BS.2088). A size above 2^63 is taken as not known (−1).</summary>
internal sealed record Ds64(long RiffSize, long DataSize, IReadOnlyDictionary<string, long> Table)
{
    /// <summary>Bytes of the chunk without a table.</summary>
    public const int ByteCount = 28;

    // The table names chunks beyond 4 GB other than the audio; nobody has many of those.
    private const int MostEntries = 64;

    /// <summary>Null when the chunk is too short to hold the two sizes.</summary>
    public static Ds64? Read(FileBytes file, long body, long size)
    {
        if (size < 16)
            return null;
        Span<byte> fields = stackalloc byte[ByteCount];
        fields.Clear();
        file.ReadExactly(body, fields[..(int)Math.Min(size, ByteCount)]);
        var table = new Dictionary<string, long>();
        var entryCount = Math.Min(BinaryPrimitives.ReadUInt32LittleEndian(fields[24..]), Math.Min(MostEntries, (size - ByteCount) / 12));
        Span<byte> entry = stackalloc byte[12];
        for (var i = 0; i < entryCount; i++)
        {
            file.ReadExactly(body + ByteCount + 12 * i, entry);
            table[Encoding.Latin1.GetString(entry[..4])] = Size(entry[4..]);
        }
        return new Ds64(Size(fields), Size(fields[8..]), table);
    }

    /// <summary>The size of a chunk whose own field is all ones; null when the table does not name it, −1 when it is not known.</summary>
    public long? SizeOf(string id) =>
        id == "data" ? DataSize
        : Table.TryGetValue(id, out var size) && size >= 0 ? size
        : null;

    private static long Size(ReadOnlySpan<byte> bytes) => Math.Max(-1, BinaryPrimitives.ReadInt64LittleEndian(bytes));
}
