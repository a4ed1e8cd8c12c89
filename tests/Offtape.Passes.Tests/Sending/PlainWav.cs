using System.Buffers.Binary;

namespace Offtape.Passes.Tests;

/// <summary>A WAV file as whole numbers, written and read by a few lines of its own: no code under test stands between a test and the bytes.</summary>
internal sealed record PlainWav(int SampleRateHz, int ChannelCount, int BitsPerSample, double[] Interleaved)
{
    internal int FrameCount => Interleaved.Length / ChannelCount;

    /// <summary>One sample as a share of full scale.</summary>
    internal double this[long frame, int channelIndex] => Interleaved[frame * ChannelCount + channelIndex];

    /// <summary>Integer PCM of 16 or 24 bits; the values must lie on its grid to come back exactly.</summary>
    internal static string Write(
        string path,
        int sampleRateHz,
        int channelCount,
        int frameCount,
        Func<long, int, double> sample,
        int bits = 24
    )
    {
        var bytes = bits / 8;
        var full = Math.Pow(2, bits - 1);
        using var file = new BinaryWriter(File.Create(path));
        var dataBytes = frameCount * channelCount * bytes;
        file.Write("RIFF"u8);
        file.Write(36 + dataBytes);
        file.Write("WAVEfmt "u8);
        file.Write(16);
        file.Write((short)1);
        file.Write((short)channelCount);
        file.Write(sampleRateHz);
        file.Write(sampleRateHz * channelCount * bytes);
        file.Write((short)(channelCount * bytes));
        file.Write((short)bits);
        file.Write("data"u8);
        file.Write(dataBytes);
        for (long frame = 0; frame < frameCount; frame++)
        for (var channel = 0; channel < channelCount; channel++)
        {
            var value = (int)Math.Clamp(Math.Round(sample(frame, channel) * full), -full, full - 1);
            for (var b = 0; b < bytes; b++)
                file.Write((byte)(value >> (8 * b)));
        }
        return path;
    }

    internal static PlainWav Read(string path)
    {
        var bytes = File.ReadAllBytes(path);
        int? formatAt = null;
        for (var at = 12; at + 8 <= bytes.Length; )
        {
            var name = bytes.AsSpan(at, 4);
            var size = (int)BinaryPrimitives.ReadUInt32LittleEndian(bytes.AsSpan(at + 4));
            if (name.SequenceEqual("fmt "u8))
                formatAt = at + 8;
            if (name.SequenceEqual("data"u8))
                return Decode(bytes.AsSpan(formatAt!.Value), bytes.AsSpan(at + 8, size));
            at += 8 + size + (size & 1);
        }
        throw new InvalidOperationException($"{path} holds no data chunk.");
    }

    private static PlainWav Decode(ReadOnlySpan<byte> format, ReadOnlySpan<byte> data)
    {
        var bits = BinaryPrimitives.ReadInt16LittleEndian(format[14..]);
        var samples = new double[data.Length / (bits / 8)];
        for (var i = 0; i < samples.Length; i++)
            samples[i] = bits switch
            {
                16 => BinaryPrimitives.ReadInt16LittleEndian(data[(2 * i)..]) / 32_768.0,
                24 => ((data[3 * i] << 8 | data[3 * i + 1] << 16 | data[3 * i + 2] << 24) >> 8) / 8_388_608.0,
                _ => BinaryPrimitives.ReadSingleLittleEndian(data[(4 * i)..]),
            };
        return new PlainWav(
            BinaryPrimitives.ReadInt32LittleEndian(format[4..]),
            BinaryPrimitives.ReadInt16LittleEndian(format[2..]),
            bits,
            samples
        );
    }
}
