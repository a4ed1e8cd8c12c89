using System.Runtime.InteropServices;

namespace Offtape.AudioFiles;

/// <summary>SF_INFO of sndfile.h.</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct CodecInfo
{
    public long FrameCount;
    public int SampleRateHz;
    public int ChannelCount;
    public int Format;
    public int SectionCount;
    public int IsSeekable;
}

/// <summary>SF_VIRTUAL_IO of sndfile.h: five functions.</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct CodecCallbacks
{
    public nint GetLength;
    public nint Seek;
    public nint Read;
    public nint Write;
    public nint Tell;
}

/// <summary>The numbers of sndfile.h.</summary>
internal static class CodecNumbers
{
    public const int ModeRead = 0x10;
    public const int ModeWrite = 0x20;
    public const int AddPeakChunk = 0x1050;

    private const int TypeMask = 0x0FFF_0000;
    private const int SubMask = 0x0000_FFFF;

    private const int W64 = 0x0B_0000;
    private const int Flac = 0x17_0000;
    private const int Caf = 0x18_0000;
    private const int Ogg = 0x20_0000;
    private const int Mpeg = 0x23_0000;

    private const int PcmS8 = 0x01;
    private const int Pcm16 = 0x02;
    private const int Pcm24 = 0x03;
    private const int Pcm32 = 0x04;
    private const int PcmU8 = 0x05;
    private const int Float = 0x06;
    private const int Double = 0x07;
    private const int Opus = 0x64;

    /// <summary>The container of a file that has been opened; null when it is one that is not read.</summary>
    public static AudioContainer? Container(int format) =>
        (format & TypeMask, format & SubMask) switch
        {
            (W64, _) => AudioContainer.W64,
            (Flac, _) => AudioContainer.Flac,
            (Caf, _) => AudioContainer.Caf,
            (Ogg, Opus) => AudioContainer.Opus,
            (Ogg, _) => AudioContainer.OggVorbis,
            (Mpeg, _) => AudioContainer.Mp3,
            _ => null,
        };

    /// <summary>How samples come out: as they were put in where nothing is lost, else as floats.</summary>
    public static SampleEncoding Encoding(int format) =>
        (format & SubMask) switch
        {
            PcmS8 or PcmU8 => SampleEncoding.Pcm8,
            Pcm16 or 0x70 => SampleEncoding.Pcm16,
            // 0x70 to 0x73 are ALAC of 16, 20, 24 and 32 bits.
            Pcm24 or 0x71 or 0x72 => SampleEncoding.Pcm24,
            Pcm32 or 0x73 => SampleEncoding.Pcm32,
            Double => SampleEncoding.Float64,
            _ => SampleEncoding.Float32,
        };

    /// <summary>The number of what is to be written; null when the container cannot hold the encoding.</summary>
    public static int? Format(AudioContainer container, SampleEncoding encoding)
    {
        int? type = container switch
        {
            AudioContainer.Flac when encoding is SampleEncoding.Pcm8 or SampleEncoding.Pcm16 or SampleEncoding.Pcm24 => Flac,
            AudioContainer.Caf => Caf,
            AudioContainer.W64 => W64,
            _ => null,
        };
        return type
            | encoding switch
            {
                SampleEncoding.Pcm8 => container == AudioContainer.W64 ? PcmU8 : PcmS8,
                SampleEncoding.Pcm16 => Pcm16,
                SampleEncoding.Pcm24 => Pcm24,
                SampleEncoding.Pcm32 => Pcm32,
                SampleEncoding.Float32 => Float,
                _ => Double,
            };
    }
}
