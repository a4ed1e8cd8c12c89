using System.Buffers.Binary;
using System.Text;

namespace Offtape.Cli.Tests.Running;

/// <summary>
/// WAV files put together by hand, byte by byte, after "Multimedia Programming Interface and Data Specifications 1.0" (1991): what is
/// read does not depend on what this program writes.
/// </summary>
internal static class WaveBytes
{
    private const int HeaderLength = 44;

    /// <summary>16-bit integer PCM, channels given one array each.</summary>
    public static byte[] Pcm16(int sampleRateHz, params float[][] channels)
    {
        var frameCount = channels[0].Length;
        var bytes = new byte[HeaderLength + frameCount * channels.Length * 2];
        Header(bytes, sampleRateHz, channels.Length, frameCount * channels.Length * 2);
        for (var i = 0; i < frameCount; i++)
        for (var c = 0; c < channels.Length; c++)
            BinaryPrimitives.WriteInt16LittleEndian(
                bytes.AsSpan(HeaderLength + 2 * (i * channels.Length + c)),
                (short)Math.Clamp(Math.Round(channels[c][i] * 32768), -32768, 32767)
            );
        return bytes;
    }

    /// <summary>A click and then silence, of any length without writing it: a sparse file.</summary>
    public static void WriteClick(string path, int sampleRateHz, int channelCount, double seconds)
    {
        var byteCount = (int)(seconds * sampleRateHz) * channelCount * 2;
        using var file = File.Create(path);
        var header = new byte[HeaderLength];
        Header(header, sampleRateHz, channelCount, byteCount);
        file.Write(header);
        file.Write([0x00, 0x40]);
        file.SetLength(HeaderLength + byteCount);
    }

    public static float[] Sine(double frequencyHz, double peak, double seconds, int sampleRateHz) =>
        [
            .. Enumerable
                .Range(0, (int)(seconds * sampleRateHz))
                .Select(i => (float)(peak * Math.Sin(2 * Math.PI * frequencyHz * i / sampleRateHz))),
        ];

    private static void Header(Span<byte> header, int sampleRateHz, int channelCount, int dataByteCount)
    {
        Encoding.ASCII.GetBytes("RIFF").CopyTo(header);
        BinaryPrimitives.WriteInt32LittleEndian(header[4..], dataByteCount + HeaderLength - 8);
        Encoding.ASCII.GetBytes("WAVEfmt ").CopyTo(header[8..]);
        BinaryPrimitives.WriteInt32LittleEndian(header[16..], 16);
        BinaryPrimitives.WriteInt16LittleEndian(header[20..], 1);
        BinaryPrimitives.WriteInt16LittleEndian(header[22..], (short)channelCount);
        BinaryPrimitives.WriteInt32LittleEndian(header[24..], sampleRateHz);
        BinaryPrimitives.WriteInt32LittleEndian(header[28..], sampleRateHz * channelCount * 2);
        BinaryPrimitives.WriteInt16LittleEndian(header[32..], (short)(channelCount * 2));
        BinaryPrimitives.WriteInt16LittleEndian(header[34..], 16);
        Encoding.ASCII.GetBytes("data").CopyTo(header[36..]);
        BinaryPrimitives.WriteInt32LittleEndian(header[40..], dataByteCount);
    }
}
