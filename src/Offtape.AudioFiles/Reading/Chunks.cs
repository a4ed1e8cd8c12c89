using System.Buffers.Binary;
using System.Collections.Frozen;
using System.Text;

namespace Offtape.AudioFiles;

/// <summary>
/// The chunks of a RIFF file (sizes low byte first) or an IFF file (high byte first): a name of four characters, a size of 32 bits, the
/// content, and a pad byte after an odd size. The last chunk that is looked for, the audio, may claim any size: it is measured apart.
/// </summary>
internal sealed class Chunks(FileBytes file, bool isBigEndian, string audioName, Damage damage)
{
    public const uint Unknown32 = 0xFFFF_FFFF;

    /// <summary>Bytes of a chunk's name and size.</summary>
    public const int HeadBytes = 8;

    // Chunks that usually follow the audio. One of these names is a chunk even where it is cut off or its size stands elsewhere; any other
    // four letters may be a piece of audio, unless their size fits.
    private static readonly FrozenSet<string> UsualNames =
    [
        "LIST",
        "bext",
        "iXML",
        "axml",
        "chna",
        "cue ",
        "smpl",
        "inst",
        "fact",
        "PEAK",
        "JUNK",
        "PAD ",
        "id3 ",
        "ID3 ",
        "COMM",
        "MARK",
        "INST",
        "COMT",
        "NAME",
        "AUTH",
        "ANNO",
        "APPL",
    ];

    /// <summary>The chunk that stands here; null where there is none.</summary>
    public (string Name, uint Size32)? HeadAt(long offset)
    {
        if (offset < 0 || offset + HeadBytes > file.Length)
            return null;
        Span<byte> head = stackalloc byte[HeadBytes];
        file.ReadExactly(offset, head);
        // A name is four printable ASCII characters, the first of them no space.
        if (head[0] == 0x20 || head[..4].IndexOfAnyExceptInRange((byte)0x20, (byte)0x7E) >= 0)
            return null;
        return (Encoding.Latin1.GetString(head[..4]), UInt32(head[4..]));
    }

    /// <summary>Whether a chunk stands here that fits in the file.</summary>
    public bool IsChunkAt(long offset) =>
        HeadAt(offset) is var (name, size) && (name == audioName || size <= file.Length - offset - HeadBytes);

    /// <summary>Whether a chunk of this size is followed by another, with its pad byte or without.</summary>
    public bool IsChunkAfter(long body, long size) =>
        size <= file.Length - body && (IsChunkAt(body + size + (size & 1)) || (size & 1) == 1 && IsChunkAt(body + size));

    /// <summary>Whether nothing but chunks, one after another, stands from here to the end of the file.</summary>
    public bool IsSoundRun(long offset)
    {
        const int mostChunks = 1000;
        for (var count = 0; count < mostChunks && file.Length - offset > 1; count++)
        {
            if (HeadAt(offset) is not var (_, size) || size > file.Length - offset - HeadBytes)
                return false;
            offset += HeadBytes + size + (size & 1);
        }
        return true;
    }

    /// <summary>Where the next chunk stands: at an even place, as both specifications say, unless the writer forgot the pad byte.</summary>
    public long Next(long body, long size)
    {
        var next = body + size;
        if ((size & 1) == 0)
            return next;
        if (IsChunkAt(next) && !IsChunkAt(next + 1))
        {
            damage.Tell($"{damage.Name} has chunks of odd size without the byte that should follow them. Nothing is lost.");
            return next;
        }
        return next + 1;
    }

    /// <summary>
    /// How many bytes the audio chunk really holds, and whether it goes to the end of the file whatever it says.
    /// </summary>
    /// <param name="body">Where its content begins.</param>
    /// <param name="size">What it says; null where it does not.</param>
    /// <param name="emptySize">The size it has without any audio.</param>
    /// <param name="formEnd">Where the file ends by its own word.</param>
    /// <param name="mayWrap">Whether writers are known that count beyond 4 GB from zero again.</param>
    public (long ByteCount, bool IsToEnd) MeasureAudio(long body, long? size, int emptySize, long formEnd, bool mayWrap)
    {
        const long wrap = 1L << 32;
        var remaining = file.Length - body;
        // A recorder that died leaves the size it wrote first: all ones, or that of no audio. A file that is truly empty goes on with
        // other chunks, or ends.
        if (size is not { } stated || stated <= emptySize && stated < remaining && !IsSoundRun(body + stated))
        {
            damage.TellUnclosed(remaining);
            return (remaining, true);
        }
        if (stated > remaining)
        {
            damage.TellCut(stated, remaining);
            return (remaining, true);
        }
        if (remaining - stated < HeadBytes || IsChunkAfter(body, stated) || IsCutChunkAt(body + stated + (stated & 1)))
            return (stated, false);

        // There is no chunk where the audio is said to end.
        for (var wraps = mayWrap ? (remaining - stated) / wrap : 0; wraps > 0; wraps--)
        {
            var whole = stated + wraps * wrap;
            if (remaining - whole >= HeadBytes && !IsChunkAfter(body, whole))
                continue;
            damage.TellTooShort(stated, whole);
            return (whole, false);
        }
        // The form is as long as the file: the size of the audio is wrong, not the length of the file.
        if (formEnd == file.Length)
        {
            damage.TellTooShort(stated, remaining);
            return (remaining, true);
        }
        return (stated, false);
    }

    private bool IsCutChunkAt(long offset) => HeadAt(offset) is var (name, size) && (size == Unknown32 || UsualNames.Contains(name));

    private uint UInt32(ReadOnlySpan<byte> bytes) =>
        isBigEndian ? BinaryPrimitives.ReadUInt32BigEndian(bytes) : BinaryPrimitives.ReadUInt32LittleEndian(bytes);
}
