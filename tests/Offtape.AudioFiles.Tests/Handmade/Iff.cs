using System.Buffers.Binary;
using System.Text;

namespace Offtape.AudioFiles.Tests;

/// <summary>Builds AIFF files byte by byte, sound or broken.</summary>
internal static class Iff
{
    /// <summary>44 100 Hz as the 80-bit extended number that is printed in the AIFF literature: 400E AC44 0000 0000 0000.</summary>
    public static readonly byte[] Rate44100 = [0x40, 0x0E, 0xAC, 0x44, 0, 0, 0, 0, 0, 0];

    public static byte[] U16(int value) => [(byte)(value >> 8), (byte)value];

    public static byte[] U32(long value)
    {
        var bytes = new byte[4];
        BinaryPrimitives.WriteUInt32BigEndian(bytes, (uint)value);
        return bytes;
    }

    public static byte[] Chunk(string name, params byte[] data) => Chunk(name, data.Length, data);

    public static byte[] Chunk(string name, long statedSize, byte[] data) =>
        Riff.Join(Encoding.Latin1.GetBytes(name), U32(statedSize), data, data.Length % 2 == 1 ? [0] : []);

    public static byte[] Comm(long frames, int channels = 2, int bits = 16, byte[]? rate = null) =>
        Chunk("COMM", Riff.Join(U16(channels), U32(frames), U16(bits), rate ?? Rate44100));

    public static byte[] AifcComm(string kind, long frames, int channels = 1, int bits = 16) =>
        Chunk("COMM", Riff.Join(U16(channels), U32(frames), U16(bits), Rate44100, Encoding.Latin1.GetBytes(kind), [0, 0]));

    public static byte[] Ssnd(byte[] audio, long? statedSize = null, long offset = 0, long blockSize = 0) =>
        Chunk("SSND", statedSize ?? 8 + audio.Length, Riff.Join(U32(offset), U32(blockSize), audio));

    public static byte[] Form(string kind, params byte[][] chunks) =>
        Riff.Join("FORM"u8.ToArray(), U32(4 + chunks.Sum(c => c.Length)), Encoding.Latin1.GetBytes(kind), Riff.Join(chunks));

    /// <summary>16-bit samples 1, 2, 3 …, high byte first.</summary>
    public static byte[] Ramp(int sampleCount) => Riff.Join([.. Enumerable.Range(1, sampleCount).Select(U16)]);
}
