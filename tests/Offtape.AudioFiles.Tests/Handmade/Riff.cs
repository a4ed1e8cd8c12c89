using System.Buffers.Binary;
using System.Text;

namespace Offtape.AudioFiles.Tests;

/// <summary>Builds RIFF files byte by byte, sound or broken, from the specifications and not from the program's code.</summary>
internal static class Riff
{
    public static byte[] U16(int value) => [(byte)value, (byte)(value >> 8)];

    public static byte[] U32(long value)
    {
        var bytes = new byte[4];
        BinaryPrimitives.WriteUInt32LittleEndian(bytes, (uint)value);
        return bytes;
    }

    public static byte[] U64(long value)
    {
        var bytes = new byte[8];
        BinaryPrimitives.WriteInt64LittleEndian(bytes, value);
        return bytes;
    }

    public static byte[] Join(params byte[][] parts) => [.. parts.SelectMany(p => p)];

    /// <summary>A chunk with its size and pad byte as they should be.</summary>
    public static byte[] Chunk(string name, params byte[] data) => Chunk(name, data.Length, data, hasPad: true);

    /// <summary>A chunk that says any size.</summary>
    public static byte[] Chunk(string name, long statedSize, byte[] data, bool hasPad = true) =>
        Join(Encoding.Latin1.GetBytes(name), U32(statedSize), data, hasPad && data.Length % 2 == 1 ? [0] : []);

    /// <summary>A plain format chunk of 16 bytes.</summary>
    public static byte[] Fmt(
        int tag = 1,
        int channels = 2,
        int rate = 48_000,
        int bits = 16,
        int? blockAlign = null,
        long? bytesPerSecond = null
    )
    {
        var align = blockAlign ?? channels * ((bits + 7) / 8);
        return Chunk("fmt ", Join(U16(tag), U16(channels), U32(rate), U32(bytesPerSecond ?? (long)rate * align), U16(align), U16(bits)));
    }

    public static byte[] Form(string id, long statedSize, params byte[][] chunks) =>
        Join(Encoding.Latin1.GetBytes(id), U32(statedSize), "WAVE"u8.ToArray(), Join(chunks));

    /// <summary>A WAV file whose outer size is right.</summary>
    public static byte[] Wave(params byte[][] chunks) => Form("RIFF", 4 + chunks.Sum(c => c.Length), chunks);

    /// <summary>16-bit samples 1, 2, 3 ….</summary>
    public static byte[] Ramp(int sampleCount) => Join([.. Enumerable.Range(1, sampleCount).Select(U16)]);
}
