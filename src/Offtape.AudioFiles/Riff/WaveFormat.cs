using System.Buffers.Binary;
using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>The `fmt ` chunk of a WAVE file: WAVEFORMATEX and WAVEFORMATEXTENSIBLE as published with the Windows headers (mmreg.h).</summary>
internal sealed record WaveFormat(AudioFormat Format, uint? ChannelMask)
{
    public const ushort TagPcm = 1;
    public const ushort TagFloat = 3;
    public const ushort TagExtensible = 0xFFFE;

    /// <summary>The last 14 bytes of the sub-format of every format that has a tag: {tag}-0000-0010-8000-00AA00389B71.</summary>
    public static ReadOnlySpan<byte> SubFormatTail => [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71];

    /// <param name="file">The file.</param>
    /// <param name="body">Where the chunk's content begins.</param>
    /// <param name="available">How many bytes of it are there.</param>
    /// <param name="damage">Told of what is odd and can be lived with.</param>
    /// <exception cref="Fault">The format cannot be read; with the byte that says so.</exception>
    public static WaveFormat Read(FileBytes file, long body, long available, Damage damage)
    {
        if (file.Length - body < 16)
            throw Fault.Input(file.Path, "its format is cut off", body);
        // A stated size below 16 is wrong: no format is that short, and 16 bytes are there.
        Span<byte> fields = stackalloc byte[40];
        fields.Clear();
        var present = (int)Math.Min(Math.Max(available, 16), 40);
        file.ReadExactly(body, fields[..present]);
        var tag = BinaryPrimitives.ReadUInt16LittleEndian(fields);
        int channelCount = BinaryPrimitives.ReadUInt16LittleEndian(fields[2..]);
        var sampleRateHz = BinaryPrimitives.ReadUInt32LittleEndian(fields[4..]);
        int bits = BinaryPrimitives.ReadUInt16LittleEndian(fields[14..]);
        uint? mask = null;
        if (tag == TagExtensible)
            (tag, mask) = ReadExtension(file, body, fields[..present], bits, damage);

        FormatLimits.CheckChannelCount(file.Path, channelCount, body + 2);
        FormatLimits.CheckSampleRate(file.Path, sampleRateHz, body + 4);
        if (tag is not (TagPcm or TagFloat))
            throw Fault.Input(
                file.Path,
                $"its audio is coded as {CodingName(tag)}, which is not read from a WAV file",
                body,
                "Convert it to plain PCM or float first."
            );
        var bytesPerSample = BytesPerSample(fields, channelCount, bits, damage);
        var encoding = (tag, bytesPerSample) switch
        {
            (TagPcm, 1) => SampleEncoding.Pcm8,
            (TagPcm, 2) => SampleEncoding.Pcm16,
            (TagPcm, 3) => SampleEncoding.Pcm24,
            (TagPcm, 4) => SampleEncoding.Pcm32,
            (TagFloat, 4) => SampleEncoding.Float32,
            (TagFloat, 8) => SampleEncoding.Float64,
            _ => throw Fault.Input(file.Path, $"it says its samples have {bits} bits, which is not read", body + 14),
        };
        return new WaveFormat(new AudioFormat((int)sampleRateHz, channelCount, encoding), mask is 0 ? null : mask);
    }

    private static (ushort Tag, uint? Mask) ReadExtension(FileBytes file, long body, ReadOnlySpan<byte> fields, int bits, Damage damage)
    {
        if (fields.Length < 40)
        {
            // Of these sizes there is only one encoding; of 32 and 64 bits there are two, which sound like noise when taken for each other.
            if (bits is not (8 or 16 or 24))
                throw Fault.Input(file.Path, "its format is cut off before it says what kind of samples it holds", body + fields.Length);
            damage.Tell($"{damage.Name} has its format cut short. It is read as {bits}-bit.");
            return (TagPcm, null);
        }
        var tag = BinaryPrimitives.ReadUInt16LittleEndian(fields[24..]);
        if (!fields[26..40].SequenceEqual(SubFormatTail))
            throw Fault.Input(file.Path, "it holds a kind of samples that is not known", body + 24);
        return (tag, BinaryPrimitives.ReadUInt32LittleEndian(fields[20..]));
    }

    /// <summary>
    /// Bytes of one sample. The bits may be fewer than the bytes hold (20 in 3 bytes, 24 in 4): such samples stand at the upper end, and
    /// are read at the width of their bytes. Where frame size and bits contradict each other, the bytes per second decide, else the bits.
    /// </summary>
    private static int BytesPerSample(ReadOnlySpan<byte> fields, int channelCount, int bits, Damage damage)
    {
        int blockAlign = BinaryPrimitives.ReadUInt16LittleEndian(fields[12..]);
        var byBits = (bits + 7) / 8;
        if (blockAlign == byBits * channelCount)
            return byBits;
        long bytesPerSecond = BinaryPrimitives.ReadUInt32LittleEndian(fields[8..]);
        long sampleRateHz = BinaryPrimitives.ReadUInt32LittleEndian(fields[4..]);
        var byAlign = blockAlign / channelCount;
        if (byAlign * channelCount == blockAlign && byAlign > byBits && byAlign <= 4 && bytesPerSecond == sampleRateHz * blockAlign)
            return byAlign;
        if (bits is > 0 and <= 64)
            damage.Tell(
                $"{damage.Name} says a frame is {Words.Count(blockAlign, "byte")} long, which contradicts its {bits} bits and "
                    + $"{Words.Count(channelCount, "channel")}. The bits are believed."
            );
        return byBits;
    }

    private static string CodingName(ushort tag) =>
        tag switch
        {
            0x0002 => "Microsoft ADPCM",
            0x0006 => "A-law",
            0x0007 => "µ-law",
            0x0011 => "IMA ADPCM",
            0x0031 => "GSM 6.10",
            0x0050 or 0x0055 => "MPEG audio",
            _ => $"format 0x{tag:X4}",
        };
}
