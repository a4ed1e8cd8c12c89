namespace Offtape.AudioFiles;

/// <summary>How the bytes of a sample lie in a file: its encoding, the order of its bytes, and whether 8-bit samples carry a sign.</summary>
internal readonly record struct SampleLayout(SampleEncoding Encoding, bool IsBigEndian, bool HasSignedBytes)
{
    /// <summary>As in RIFF: low byte first, 8-bit samples offset by 128.</summary>
    public static SampleLayout LittleEndian(SampleEncoding encoding) => new(encoding, false, false);

    /// <summary>As in AIFF: high byte first, 8-bit samples signed.</summary>
    public static SampleLayout BigEndian(SampleEncoding encoding) => new(encoding, true, true);

    public int BytesPerSample => AudioFormat.BytesPer(Encoding);
}
