using Offtape.Testing;

namespace Offtape.AudioFiles.Tests;

/// <summary>
/// Every kind of file both ways against libsndfile, called directly: it reads what the program writes, and the program reads what it
/// writes, bit for bit. Tolerance: none.
/// </summary>
public sealed class LibSndFileAgreesTests : IDisposable
{
    private const int FrameCount = 1_237;

    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    public static TheoryData<string, SampleEncoding, int> OursToTheirs =>
        new()
        {
            { "a.wav", SampleEncoding.Pcm8, 1 },
            { "a.wav", SampleEncoding.Pcm16, 2 },
            { "a.wav", SampleEncoding.Pcm24, 1 },
            { "a.wav", SampleEncoding.Pcm24, 3 },
            { "a.wav", SampleEncoding.Pcm32, 2 },
            { "a.wav", SampleEncoding.Float32, 2 },
            { "a.wav", SampleEncoding.Float32, 8 },
            { "a.wav", SampleEncoding.Float64, 64 },
            { "a.rf64", SampleEncoding.Pcm16, 2 },
            { "a.rf64", SampleEncoding.Pcm24, 2 },
            { "a.rf64", SampleEncoding.Float32, 5 },
            { "a.aiff", SampleEncoding.Pcm8, 1 },
            { "a.aiff", SampleEncoding.Pcm16, 2 },
            { "a.aif", SampleEncoding.Pcm24, 3 },
            { "a.aif", SampleEncoding.Pcm32, 64 },
            { "a.aifc", SampleEncoding.Pcm16, 1 },
            { "a.aifc", SampleEncoding.Pcm24, 2 },
            { "a.aifc", SampleEncoding.Float32, 2 },
            { "a.aiff", SampleEncoding.Float64, 1 },
            { "a.flac", SampleEncoding.Pcm8, 1 },
            { "a.flac", SampleEncoding.Pcm16, 2 },
            { "a.flac", SampleEncoding.Pcm24, 8 },
            { "a.caf", SampleEncoding.Pcm8, 1 },
            { "a.caf", SampleEncoding.Pcm16, 2 },
            { "a.caf", SampleEncoding.Pcm24, 2 },
            { "a.caf", SampleEncoding.Pcm32, 2 },
            { "a.caf", SampleEncoding.Float32, 3 },
            { "a.caf", SampleEncoding.Float64, 2 },
            { "a.w64", SampleEncoding.Pcm8, 1 },
            { "a.w64", SampleEncoding.Pcm24, 2 },
            { "a.w64", SampleEncoding.Pcm32, 2 },
            { "a.w64", SampleEncoding.Float32, 2 },
        };

    [Theory, MemberData(nameof(OursToTheirs))]
    public void It_reads_what_we_write(string name, SampleEncoding encoding, int channelCount)
    {
        var values = Samples.Exact(encoding, FrameCount * channelCount);
        Samples.WriteFile(_folder[name], new AudioFormat(96_000, channelCount, encoding), values);

        using var theirs = LibSndFile.OpenRead(_folder[name]);
        Assert.Equal((FrameCount, 96_000, channelCount), (theirs.FrameCount, theirs.SampleRateHz, theirs.ChannelCount));
        var got = new double[values.Length];
        Assert.Equal(FrameCount, theirs.Read(got));
        Assert.Equal(values, got);

        using var ours = AudioFile.Open(_folder[name]);
        Assert.Equal(new AudioFormat(96_000, channelCount, encoding), ours.Format);
        Assert.Empty(ours.Notices);
        Assert.Equal(values, ours.ReadAllExact());
    }

    public static TheoryData<int, int, SampleEncoding, AudioContainer, int> TheirsToOurs =>
        new()
        {
            { LibSndFile.Wav, LibSndFile.PcmU8, SampleEncoding.Pcm8, AudioContainer.Wav, 2 },
            { LibSndFile.Wav, LibSndFile.Pcm16, SampleEncoding.Pcm16, AudioContainer.Wav, 1 },
            { LibSndFile.Wav, LibSndFile.Pcm24, SampleEncoding.Pcm24, AudioContainer.Wav, 2 },
            { LibSndFile.Wav, LibSndFile.Pcm32, SampleEncoding.Pcm32, AudioContainer.Wav, 3 },
            { LibSndFile.Wav, LibSndFile.Float, SampleEncoding.Float32, AudioContainer.Wav, 2 },
            { LibSndFile.Wav, LibSndFile.Double, SampleEncoding.Float64, AudioContainer.Wav, 2 },
            { LibSndFile.WavEx, LibSndFile.Pcm24, SampleEncoding.Pcm24, AudioContainer.Wav, 6 },
            { LibSndFile.WavEx, LibSndFile.Float, SampleEncoding.Float32, AudioContainer.Wav, 32 },
            { LibSndFile.Rf64, LibSndFile.Pcm16, SampleEncoding.Pcm16, AudioContainer.Rf64, 2 },
            { LibSndFile.Rf64, LibSndFile.Pcm24, SampleEncoding.Pcm24, AudioContainer.Rf64, 2 },
            { LibSndFile.Rf64, LibSndFile.Float, SampleEncoding.Float32, AudioContainer.Rf64, 1 },
            // Of an odd count of bytes libsndfile itself says one frame more (seen with 1.2.0), so here they are even.
            { LibSndFile.Aiff, LibSndFile.PcmS8, SampleEncoding.Pcm8, AudioContainer.Aiff, 2 },
            { LibSndFile.Aiff, LibSndFile.Pcm16, SampleEncoding.Pcm16, AudioContainer.Aiff, 2 },
            { LibSndFile.Aiff, LibSndFile.Pcm24, SampleEncoding.Pcm24, AudioContainer.Aiff, 2 },
            { LibSndFile.Aiff, LibSndFile.Pcm32, SampleEncoding.Pcm32, AudioContainer.Aiff, 2 },
            { LibSndFile.Aiff, LibSndFile.Float, SampleEncoding.Float32, AudioContainer.Aifc, 2 },
            { LibSndFile.Aiff, LibSndFile.Double, SampleEncoding.Float64, AudioContainer.Aifc, 1 },
            { LibSndFile.Aiff | LibSndFile.LittleEndian, LibSndFile.Pcm16, SampleEncoding.Pcm16, AudioContainer.Aifc, 2 },
            { LibSndFile.Aiff | LibSndFile.LittleEndian, LibSndFile.Pcm24, SampleEncoding.Pcm24, AudioContainer.Aifc, 2 },
            { LibSndFile.Flac, LibSndFile.Pcm16, SampleEncoding.Pcm16, AudioContainer.Flac, 2 },
            { LibSndFile.Flac, LibSndFile.Pcm24, SampleEncoding.Pcm24, AudioContainer.Flac, 1 },
            { LibSndFile.Caf, LibSndFile.Pcm24, SampleEncoding.Pcm24, AudioContainer.Caf, 2 },
            { LibSndFile.Caf, LibSndFile.Float, SampleEncoding.Float32, AudioContainer.Caf, 2 },
            { LibSndFile.W64, LibSndFile.Pcm16, SampleEncoding.Pcm16, AudioContainer.W64, 2 },
            { LibSndFile.W64, LibSndFile.Pcm32, SampleEncoding.Pcm32, AudioContainer.W64, 2 },
        };

    [Theory, MemberData(nameof(TheirsToOurs))]
    public void We_read_what_it_writes(int major, int minor, SampleEncoding encoding, AudioContainer container, int channelCount)
    {
        var values = Samples.Exact(encoding, FrameCount * channelCount);
        var path = _folder["theirs"];
        using (var theirs = LibSndFile.OpenWrite(path, major | minor, 44_100, channelCount))
        {
            if (encoding is SampleEncoding.Float32 or SampleEncoding.Float64)
                theirs.Write(values);
            else
                theirs.Write([.. values.Select(v => (int)(v * 2_147_483_648.0))]);
        }

        using var ours = AudioFile.Open(path);
        Assert.Equal(container, ours.Container);
        Assert.Equal(new AudioFormat(44_100, channelCount, encoding), ours.Format);
        Assert.Equal(FrameCount, ours.FrameCount);
        Assert.Empty(ours.Notices);
        Assert.Equal(values, ours.ReadAllExact());

        // To float: as libsndfile does it, which for every encoding is the nearest float.
        using var again = LibSndFile.OpenRead(path);
        var floats = new float[values.Length];
        Assert.Equal(FrameCount, again.Read(floats));
        Assert.Equal(floats, ours.ReadAll());
    }

    /// <summary>Every rate at the ends of the range and at the usual places, in the two ways a header says it.</summary>
    [Theory]
    [InlineData("r.wav", 8_000)]
    [InlineData("r.wav", 384_000)]
    [InlineData("r.aiff", 8_000)]
    [InlineData("r.aiff", 22_050)]
    [InlineData("r.aiff", 44_100)]
    [InlineData("r.aiff", 47_952)]
    [InlineData("r.aiff", 384_000)]
    public void Rates_are_said_as_it_reads_them(string name, int sampleRateHz)
    {
        Samples.WriteFile(_folder[name], new AudioFormat(sampleRateHz, 1, SampleEncoding.Pcm16), [0, 0.5]);
        using var theirs = LibSndFile.OpenRead(_folder[name]);
        Assert.Equal(sampleRateHz, theirs.SampleRateHz);
        using var ours = AudioFile.Open(_folder[name]);
        Assert.Equal(sampleRateHz, ours.Format.SampleRateHz);
    }
}
