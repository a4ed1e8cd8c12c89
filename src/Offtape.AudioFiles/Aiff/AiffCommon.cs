using System.Buffers.Binary;
using System.Text;
using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>The `COMM` chunk of an AIFF (Audio Interchange File Format 1.3, 1989) or AIFC file (AIFF-C draft, 1991).</summary>
internal sealed record AiffCommon(AudioFormat Format, SampleLayout Layout, uint FrameCount)
{
    /// <summary>Bytes of the chunk in an AIFF; an AIFC adds the kind of samples.</summary>
    public const int ByteCount = 18;

    /// <exception cref="Fault">The format cannot be read; with the byte that says so.</exception>
    public static AiffCommon Read(FileBytes file, long body, long size, bool isAifc, Damage damage)
    {
        var wanted = isAifc ? ByteCount + 4 : ByteCount;
        if (size < wanted)
            throw Fault.Input(file.Path, "its format is cut off", body);
        Span<byte> fields = stackalloc byte[ByteCount + 4];
        file.ReadExactly(body, fields[..wanted]);
        int channelCount = BinaryPrimitives.ReadUInt16BigEndian(fields);
        var frameCount = BinaryPrimitives.ReadUInt32BigEndian(fields[2..]);
        int bits = BinaryPrimitives.ReadUInt16BigEndian(fields[6..]);
        var rateHz = ExtendedFloat.Read(fields.Slice(8, ExtendedFloat.ByteCount));
        FormatLimits.CheckChannelCount(file.Path, channelCount, body);
        FormatLimits.CheckSampleRate(file.Path, rateHz, body + 8);
        var sampleRateHz = (int)Math.Round(rateHz);
        if (sampleRateHz != rateHz)
            damage.Tell($"{damage.Name} has a sample rate of {rateHz:0.######} Hz. It is taken as {sampleRateHz} Hz.");
        var kind = isAifc ? Encoding.Latin1.GetString(fields.Slice(ByteCount, 4)) : "NONE";
        var layout = LayoutOf(kind, bits) ?? throw Unreadable(file.Path, kind, bits, body);
        return new AiffCommon(new AudioFormat(sampleRateHz, channelCount, layout.Encoding), layout, frameCount);
    }

    /// <summary>Fewer bits than whole bytes stand at the upper end of their bytes, and are read at the width of these.</summary>
    private static SampleLayout? LayoutOf(string kind, int bits)
    {
        SampleEncoding? integer = bits switch
        {
            >= 1 and <= 8 => SampleEncoding.Pcm8,
            > 8 and <= 16 => SampleEncoding.Pcm16,
            > 16 and <= 24 => SampleEncoding.Pcm24,
            > 24 and <= 32 => SampleEncoding.Pcm32,
            _ => null,
        };
        return kind switch
        {
            "NONE" or "twos" when integer is { } encoding => SampleLayout.BigEndian(encoding),
            "sowt" when integer is { } encoding => new SampleLayout(encoding, IsBigEndian: false, HasSignedBytes: true),
            "raw " when integer == SampleEncoding.Pcm8 => SampleLayout.LittleEndian(SampleEncoding.Pcm8),
            "in24" => SampleLayout.BigEndian(SampleEncoding.Pcm24),
            "in32" => SampleLayout.BigEndian(SampleEncoding.Pcm32),
            // Both spellings are met with.
            "42ni" or "42n1" => SampleLayout.LittleEndian(SampleEncoding.Pcm24),
            "23ni" or "23n1" => SampleLayout.LittleEndian(SampleEncoding.Pcm32),
            "fl32" or "FL32" => SampleLayout.BigEndian(SampleEncoding.Float32),
            "fl64" or "FL64" => SampleLayout.BigEndian(SampleEncoding.Float64),
            _ => null,
        };
    }

    private static Fault Unreadable(string path, string kind, int bits, long body) =>
        kind is "NONE" or "twos" or "sowt" or "raw "
            ? Fault.Input(path, $"it says its samples have {bits} bits, which is not read", body + 6)
            : Fault.Input(
                path,
                $"its audio is coded as \"{Printable(kind)}\", which is not read from an AIFF file",
                body + ByteCount,
                "Convert it to plain PCM or float first."
            );

    private static string Printable(string kind) => string.Concat(kind.Select(c => c is >= ' ' and <= '~' ? c : '?')).TrimEnd();
}
