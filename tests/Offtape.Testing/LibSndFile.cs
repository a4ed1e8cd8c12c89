using System.Runtime.InteropServices;

namespace Offtape.Testing;

/// <summary>
/// libsndfile, called directly: the second opinion on every audio file. Shares no code with the program's own way to it. Numbers and
/// structures are those of sndfile.h.
/// </summary>
public sealed unsafe class LibSndFile : IDisposable
{
    public const int Wav = 0x01_0000;
    public const int Aiff = 0x02_0000;
    public const int W64 = 0x0B_0000;
    public const int WavEx = 0x13_0000;
    public const int Flac = 0x17_0000;
    public const int Caf = 0x18_0000;
    public const int Ogg = 0x20_0000;
    public const int Rf64 = 0x22_0000;
    public const int Mpeg = 0x23_0000;

    public const int PcmS8 = 1;
    public const int Pcm16 = 2;
    public const int Pcm24 = 3;
    public const int Pcm32 = 4;
    public const int PcmU8 = 5;
    public const int Float = 6;
    public const int Double = 7;
    public const int Vorbis = 0x60;
    public const int Opus = 0x64;
    public const int MpegLayer3 = 0x82;
    public const int LittleEndian = 0x1000_0000;

    private const string Library = "libsndfile.so.1";
    private const int ModeRead = 0x10;
    private const int ModeWrite = 0x20;

    private nint _file;

    private LibSndFile(nint file, SfInfo info) =>
        (_file, FrameCount, SampleRateHz, ChannelCount, Format) = (file, info.Frames, info.Rate, info.Channels, info.Format);

    public long FrameCount { get; }

    public int SampleRateHz { get; }

    public int ChannelCount { get; }

    /// <summary>The major and the minor format.</summary>
    public int Format { get; }

    public static LibSndFile OpenRead(string path)
    {
        var info = new SfInfo();
        var file = sf_open(path, ModeRead, ref info);
        if (file == 0)
            throw new InvalidOperationException($"libsndfile cannot read {path}: {Error(0)}");
        return new LibSndFile(file, info);
    }

    public static LibSndFile OpenWrite(string path, int format, int sampleRateHz, int channelCount)
    {
        var info = new SfInfo
        {
            Rate = sampleRateHz,
            Channels = channelCount,
            Format = format,
        };
        var file = sf_open(path, ModeWrite, ref info);
        if (file == 0)
            throw new InvalidOperationException($"libsndfile cannot write {path} as 0x{format:X}: {Error(0)}");
        return new LibSndFile(file, info);
    }

    /// <summary>Integers of any width stand in the upper bits.</summary>
    public long Read(Span<int> interleaved)
    {
        fixed (int* at = interleaved)
            return sf_readf_int(_file, at, interleaved.Length / ChannelCount);
    }

    public long Read(Span<float> interleaved)
    {
        fixed (float* at = interleaved)
            return sf_readf_float(_file, at, interleaved.Length / ChannelCount);
    }

    public long Read(Span<double> interleaved)
    {
        fixed (double* at = interleaved)
            return sf_readf_double(_file, at, interleaved.Length / ChannelCount);
    }

    public void Write(ReadOnlySpan<int> interleaved)
    {
        fixed (int* at = interleaved)
            Check(sf_writef_int(_file, at, interleaved.Length / ChannelCount), interleaved.Length);
    }

    public void Write(ReadOnlySpan<float> interleaved)
    {
        fixed (float* at = interleaved)
            Check(sf_writef_float(_file, at, interleaved.Length / ChannelCount), interleaved.Length);
    }

    public void Write(ReadOnlySpan<double> interleaved)
    {
        fixed (double* at = interleaved)
            Check(sf_writef_double(_file, at, interleaved.Length / ChannelCount), interleaved.Length);
    }

    public void SeekTo(long frame) => _ = sf_seek(_file, frame, 0);

    public void Dispose()
    {
        if (_file != 0)
            _ = sf_close(_file);
        _file = 0;
    }

    /// <summary>The library's own name and version.</summary>
    public static string Version => Marshal.PtrToStringUTF8(sf_version_string()) ?? "?";

    private void Check(long written, int sampleCount)
    {
        if (written * ChannelCount != sampleCount)
            throw new InvalidOperationException($"libsndfile wrote {written} frames: {Error(_file)}");
    }

    private static string Error(nint file) => Marshal.PtrToStringUTF8(sf_strerror(file)) ?? "?";

    [StructLayout(LayoutKind.Sequential)]
    private struct SfInfo
    {
        public long Frames;
        public int Rate;
        public int Channels;
        public int Format;
        public int Sections;
        public int Seekable;
    }

    [DllImport(Library)]
    private static extern nint sf_open([MarshalAs(UnmanagedType.LPUTF8Str)] string path, int mode, ref SfInfo info);

    [DllImport(Library)]
    private static extern int sf_close(nint file);

    [DllImport(Library)]
    private static extern long sf_seek(nint file, long frames, int whence);

    [DllImport(Library)]
    private static extern long sf_readf_int(nint file, int* at, long frames);

    [DllImport(Library)]
    private static extern long sf_readf_float(nint file, float* at, long frames);

    [DllImport(Library)]
    private static extern long sf_readf_double(nint file, double* at, long frames);

    [DllImport(Library)]
    private static extern long sf_writef_int(nint file, int* at, long frames);

    [DllImport(Library)]
    private static extern long sf_writef_float(nint file, float* at, long frames);

    [DllImport(Library)]
    private static extern long sf_writef_double(nint file, double* at, long frames);

    [DllImport(Library)]
    private static extern nint sf_strerror(nint file);

    [DllImport(Library)]
    private static extern nint sf_version_string();
}
