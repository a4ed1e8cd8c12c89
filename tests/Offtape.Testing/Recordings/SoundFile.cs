using System.Runtime.InteropServices;

namespace Offtape.Testing;

/// <summary>
/// Reads an audio file with libsndfile alone, so that what a test hears does not depend on the readers under test. Calls and structure
/// as in sndfile.h of libsndfile 1.2.
/// </summary>
public static partial class SoundFile
{
    private const string Library = "libsndfile.so.1";
    private const int ReadMode = 0x10;

    /// <summary>One array a channel, full scale ±1, and the file's own rate.</summary>
    public static (float[][] Channels, int SampleRateHz) Read(string path)
    {
        var info = default(SoundInfo);
        var file = Open(path, ReadMode, ref info);
        if (file == 0)
            throw new InvalidDataException($"libsndfile cannot read {path}: {Marshal.PtrToStringUTF8(ErrorText(0))}");
        try
        {
            var interleaved = new float[info.FrameCount * info.ChannelCount];
            var got = ReadFrames(file, interleaved, info.FrameCount);
            if (got != info.FrameCount)
                throw new InvalidDataException($"libsndfile read {got} of {info.FrameCount} frames of {path}.");
            var channels = new float[info.ChannelCount][];
            for (var c = 0; c < channels.Length; c++)
            {
                channels[c] = new float[got];
                for (var i = 0; i < got; i++)
                    channels[c][i] = interleaved[i * channels.Length + c];
            }
            return (channels, info.SampleRateHz);
        }
        finally
        {
            _ = Close(file);
        }
    }

    [StructLayout(LayoutKind.Sequential)]
    private struct SoundInfo
    {
        public long FrameCount;
        public int SampleRateHz;
        public int ChannelCount;
        public int Format;
        public int SectionCount;
        public int IsSeekable;
    }

    [LibraryImport(Library, EntryPoint = "sf_open", StringMarshalling = StringMarshalling.Utf8)]
    private static partial nint Open(string path, int mode, ref SoundInfo info);

    [LibraryImport(Library, EntryPoint = "sf_readf_float")]
    private static partial long ReadFrames(nint file, [Out] float[] interleaved, long frameCount);

    [LibraryImport(Library, EntryPoint = "sf_strerror")]
    private static partial nint ErrorText(nint file);

    [LibraryImport(Library, EntryPoint = "sf_close")]
    private static partial int Close(nint file);
}
