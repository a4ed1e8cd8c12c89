using System.Buffers.Binary;
using System.Numerics;

namespace Offtape.AudioFiles;

/// <summary>
/// The `fmt ` chunk as it is written: WAVE_FORMAT_EXTENSIBLE where it is asked for, that is beyond two channels or for integers of more
/// than 16 bits; otherwise the plain form.
/// </summary>
internal static class WaveFormatWriter
{
    public static byte[] Write(AudioFormat format, uint? channelMask)
    {
        var isExtensible = format.ChannelCount > 2 || !format.IsFloat && format.BytesPerSample > 2;
        var tag = format.IsFloat ? WaveFormat.TagFloat : WaveFormat.TagPcm;
        var bytes = new byte[
            isExtensible ? 40
            : format.IsFloat ? 18
            : 16
        ];
        var fields = bytes.AsSpan();
        BinaryPrimitives.WriteUInt16LittleEndian(fields, isExtensible ? WaveFormat.TagExtensible : tag);
        BinaryPrimitives.WriteUInt16LittleEndian(fields[2..], (ushort)format.ChannelCount);
        BinaryPrimitives.WriteUInt32LittleEndian(fields[4..], (uint)format.SampleRateHz);
        BinaryPrimitives.WriteUInt32LittleEndian(fields[8..], (uint)(format.SampleRateHz * format.BytesPerFrame));
        BinaryPrimitives.WriteUInt16LittleEndian(fields[12..], (ushort)format.BytesPerFrame);
        BinaryPrimitives.WriteUInt16LittleEndian(fields[14..], (ushort)(8 * format.BytesPerSample));
        if (!isExtensible)
            return bytes;
        BinaryPrimitives.WriteUInt16LittleEndian(fields[16..], 22);
        BinaryPrimitives.WriteUInt16LittleEndian(fields[18..], (ushort)(8 * format.BytesPerSample));
        BinaryPrimitives.WriteUInt32LittleEndian(fields[20..], Mask(format.ChannelCount, channelMask));
        BinaryPrimitives.WriteUInt16LittleEndian(fields[24..], tag);
        WaveFormat.SubFormatTail.CopyTo(fields[26..]);
        return bytes;
    }

    // Front centre for one channel, front left and right for two. More are tracks, not loudspeakers, unless the source said otherwise.
    private static uint Mask(int channelCount, uint? asked) =>
        asked is { } mask && BitOperations.PopCount(mask) == channelCount
            ? mask
            : channelCount switch
            {
                1 => 0x4u,
                2 => 0x3u,
                _ => 0u,
            };
}
