namespace Offtape.AudioFiles;

/// <summary>Tells by its first bytes whether a file is one that the codec library reads.</summary>
internal static class CodecSniffer
{
    // The GUID of a W64's outermost chunk begins with "riff" in lower case.
    private static ReadOnlySpan<byte> Wave64 => [0x72, 0x69, 0x66, 0x66, 0x2E, 0x91, 0xCF, 0x11, 0xA5, 0xD6, 0x28, 0xDB, 0x04, 0xC1, 0, 0];

    /// <summary>What the file is, in words; null when it is none of them.</summary>
    public static string? Kind(ReadOnlySpan<byte> start) =>
        start.StartsWith("fLaC"u8) ? "FLAC"
        : start.StartsWith("caff"u8) ? "CAF"
        : start.StartsWith(Wave64) ? "W64"
        : start.StartsWith("OggS"u8) ? OggKind(start)
        : start.StartsWith("ID3"u8) || IsMpegLayer3(start) ? "MP3"
        : null;

    private static string? OggKind(ReadOnlySpan<byte> start)
    {
        // RFC 3533: 27 bytes, the last of them the count of the segment sizes that follow; then the first packet.
        if (start.Length < 28 || start.Length < 27 + start[26])
            return null;
        var packet = start[(27 + start[26])..];
        return packet.StartsWith("OpusHead"u8) ? "Opus"
            : packet.StartsWith("\u0001vorbis"u8) ? "Ogg Vorbis"
            : packet.StartsWith("\u007fFLAC"u8) ? "FLAC"
            : null;
    }

    // The head of a frame, ISO 11172-3: eleven bits of ones, the version, the layer, the bit rate, the sample rate. Layers I and II are left
    // out, because a text in UTF-16 begins like one of them.
    private static bool IsMpegLayer3(ReadOnlySpan<byte> start) =>
        start.Length >= 4
        && start[0] == 0xFF
        && (start[1] & 0xE0) == 0xE0
        && (start[1] & 0x18) != 0x08
        && (start[1] & 0x06) == 0x02
        && (start[2] & 0xF0) is not (0xF0 or 0)
        && (start[2] & 0x0C) != 0x0C;
}
