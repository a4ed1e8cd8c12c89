using System.Buffers.Binary;
using System.Text;

namespace Offtape.Testing;

/// <summary>
/// One sample of an instrument patch file ("GF1PATCH110"), the form in which freepats carries its recordings. Headers, as the format's
/// public description has them: patch 129 bytes, instrument 63, layer 47 (sample count at 6), sample 96 (length in bytes at 8, rate at 20,
/// modes at 55: bit 0 16-bit, bit 1 unsigned), little-endian.
/// </summary>
internal static class PatchFile
{
    private const int FirstSampleHeader = 129 + 63 + 47;
    private const int SampleHeaderLength = 96;

    public static (float[] Samples, int SampleRateHz) Read(string path, int sampleIndex)
    {
        var bytes = File.ReadAllBytes(path);
        if (bytes.Length < FirstSampleHeader || Encoding.ASCII.GetString(bytes, 0, 11) != "GF1PATCH110")
            throw new InvalidDataException($"{path} is not a patch file.");
        var count = bytes[129 + 63 + 6];
        if (sampleIndex < 0 || sampleIndex >= count)
            throw new InvalidDataException($"{path} holds {count} samples, and number {sampleIndex} is wanted.");
        var offset = FirstSampleHeader;
        for (var i = 0; ; i++)
        {
            var header = bytes.AsSpan(offset, SampleHeaderLength);
            var byteCount = BinaryPrimitives.ReadInt32LittleEndian(header[8..]);
            if (i == sampleIndex)
                return (
                    Decode(bytes.AsSpan(offset + SampleHeaderLength, byteCount), header[55]),
                    BinaryPrimitives.ReadUInt16LittleEndian(header[20..])
                );
            offset += SampleHeaderLength + byteCount;
        }
    }

    private static float[] Decode(ReadOnlySpan<byte> data, byte modes)
    {
        var (is16Bit, isUnsigned) = ((modes & 1) != 0, (modes & 2) != 0);
        var samples = new float[is16Bit ? data.Length / 2 : data.Length];
        for (var i = 0; i < samples.Length; i++)
            samples[i] = (is16Bit, isUnsigned) switch
            {
                (true, false) => BinaryPrimitives.ReadInt16LittleEndian(data[(2 * i)..]) / 32768f,
                (true, true) => (BinaryPrimitives.ReadUInt16LittleEndian(data[(2 * i)..]) - 32768) / 32768f,
                (false, false) => (sbyte)data[i] / 128f,
                (false, true) => (data[i] - 128) / 128f,
            };
        return samples;
    }
}
