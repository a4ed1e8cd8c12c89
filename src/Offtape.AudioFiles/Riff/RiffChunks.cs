using System.Buffers.Binary;

namespace Offtape.AudioFiles;

/// <summary>What a chunk of a RIFF file looks like, and where the next one stands.</summary>
internal static class RiffChunks
{
    /// <summary>Four printable ASCII characters, the first of them no space.</summary>
    public static bool IsName(ReadOnlySpan<byte> bytes) =>
        bytes[0] > 0x20 && bytes[..4].IndexOfAnyExceptInRange((byte)0x20, (byte)0x7E) < 0;

    /// <summary>Whether a chunk stands here that fits in the file.</summary>
    public static bool IsChunkAt(FileBytes file, long offset)
    {
        if (offset < 0 || offset + 8 > file.Length)
            return false;
        Span<byte> head = stackalloc byte[8];
        file.ReadExactly(offset, head);
        if (!IsName(head))
            return false;
        var size = BinaryPrimitives.ReadUInt32LittleEndian(head[4..]);
        // The audio may be cut off, or its size may stand elsewhere.
        return head.StartsWith("data"u8) || size <= file.Length - offset - 8;
    }

    /// <summary>Whether a chunk of this size is followed by another, with its pad byte or without.</summary>
    public static bool IsChunkAfter(FileBytes file, long body, long size) =>
        size <= file.Length - body && (IsChunkAt(file, body + size + (size & 1)) || (size & 1) == 1 && IsChunkAt(file, body + size));

    /// <summary>Whether nothing but chunks, one after another, stands from here to the end of the file.</summary>
    public static bool IsSoundRun(FileBytes file, long offset)
    {
        const int mostChunks = 1000;
        for (var count = 0; count < mostChunks; count++)
        {
            if (file.Length - offset <= 1)
                return true;
            if (!IsChunkAt(file, offset))
                return false;
            long size = file.UInt32LittleEndian(offset + 4);
            offset += 8 + size + (size & 1);
        }
        return true;
    }

    /// <summary>Where the next chunk stands: at an even place, as RIFF says, unless the writer forgot the pad byte.</summary>
    public static long Next(FileBytes file, long body, long size, Damage damage)
    {
        var next = body + size;
        if ((size & 1) == 0)
            return next;
        if (IsChunkAt(file, next) && !IsChunkAt(file, next + 1))
        {
            damage.Tell($"{damage.Name} has chunks of odd size without the byte that should follow them. Nothing is lost.");
            return next;
        }
        return next + 1;
    }
}
