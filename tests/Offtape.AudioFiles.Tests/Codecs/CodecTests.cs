using Offtape.Base;
using Offtape.Testing;

namespace Offtape.AudioFiles.Tests;

/// <summary>Files that are decoded by the codec library, and what happens when it is not there.</summary>
public sealed class CodecTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    public static TheoryData<string, int, AudioContainer, int> Lossy =>
        new()
        {
            { "a.mp3", LibSndFile.Mpeg | LibSndFile.MpegLayer3, AudioContainer.Mp3, 44_100 },
            { "a.ogg", LibSndFile.Ogg | LibSndFile.Vorbis, AudioContainer.OggVorbis, 44_100 },
            { "a.opus", LibSndFile.Ogg | LibSndFile.Opus, AudioContainer.Opus, 48_000 },
        };

    /// <summary>As long as what was put in, the same samples as libsndfile decodes, called directly; read in one go.</summary>
    [Theory, MemberData(nameof(Lossy))]
    public void Lossy_files_are_read_in_their_full_length(string name, int format, AudioContainer container, int sampleRateHz)
    {
        const int frameCount = 30_011;
        MakeTone(name, format, sampleRateHz, frameCount);
        using var reader = AudioFile.Open(_folder[name]);
        Assert.Equal(container, reader.Container);
        Assert.Equal(new AudioFormat(sampleRateHz, 2, SampleEncoding.Float32), reader.Format);
        Assert.Equal(frameCount, reader.FrameCount);
        Assert.Empty(reader.Notices);

        using var theirs = LibSndFile.OpenRead(_folder[name]);
        var wanted = new float[2 * frameCount];
        Assert.Equal(frameCount, theirs.Read(wanted));
        Assert.Equal(wanted, reader.ReadAll());
        Assert.Equal(wanted.Select(v => (double)v), reader.ReadAllExact());
    }

    /// <summary>
    /// A stretch from the middle is the same piece of the whole, though a lossy decoder that starts in the middle of a stream is wrong at
    /// first. Tolerance: the rounding of a few operations on floats below 0.25, 2^-20.
    /// </summary>
    [Theory, MemberData(nameof(Lossy))]
    public void Lossy_files_are_read_from_any_place(string name, int format, AudioContainer container, int sampleRateHz)
    {
        const int frameCount = 100_000;
        MakeTone(name, format, sampleRateHz, frameCount);
        using var reader = AudioFile.Open(_folder[name]);
        Assert.Equal(container, reader.Container);
        var whole = reader.ReadAll();
        var part = new float[2 * 1_000];
        foreach (var start in (int[])[70_001, 3, 50_000, 98_999, 12_345, 13_500, 40_000, 0])
        {
            Assert.Equal(1_000, reader.Read(start, part));
            double worst = 0;
            for (var i = 0; i < part.Length; i++)
                worst = Math.Max(worst, Math.Abs(part[i] - whole[2 * start + i]));
            Measured.AtMost(Math.Pow(2, -20), worst, $"{name} from frame {start}: difference");
        }
    }

    [Fact]
    public void Flac_is_read_from_any_place_bit_for_bit()
    {
        var values = Samples.Exact(SampleEncoding.Pcm24, 2 * 50_000);
        Samples.WriteFile(_folder["a.flac"], new AudioFormat(96_000, 2, SampleEncoding.Pcm24), values);
        using var reader = AudioFile.Open(_folder["a.flac"]);
        var part = new double[2 * 700];
        foreach (var start in (int[])[40_000, 0, 4_095, 4_096, 49_300, 17])
        {
            Assert.Equal(700, reader.ReadExact(start, part));
            Assert.Equal(values[(2 * start)..(2 * start + 1_400)], part);
        }
        Assert.Equal(100, reader.ReadExact(49_900, part));
        Assert.Equal(0, reader.ReadExact(50_000, part));
    }

    public static TheoryData<string, string> Needing =>
        new()
        {
            { "a.flac", "FLAC" },
            { "a.mp3", "MP3" },
            { "a.ogg", "Ogg Vorbis" },
            { "a.opus", "Opus" },
            { "a.caf", "CAF" },
            { "a.w64", "W64" },
        };

    [Theory, MemberData(nameof(Needing))]
    public void Without_the_library_one_line_says_how_to_get_it(string name, string kind)
    {
        switch (name)
        {
            case "a.mp3":
                MakeTone(name, LibSndFile.Mpeg | LibSndFile.MpegLayer3, 44_100, 5_000);
                break;
            case "a.ogg":
                MakeTone(name, LibSndFile.Ogg | LibSndFile.Vorbis, 44_100, 5_000);
                break;
            case "a.opus":
                MakeTone(name, LibSndFile.Ogg | LibSndFile.Opus, 48_000, 5_000);
                break;
            default:
                Samples.WriteFile(_folder[name], new AudioFormat(48_000, 1, SampleEncoding.Pcm16), [0, 0.5]);
                break;
        }
        var fault = Assert.Throws<Fault>(() => AudioFile.Open(_folder[name], () => CodecLibrary.Find(["no-such-library.so.9"])));
        Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
        Assert.StartsWith($"Cannot read \"{name}\": it is {kind}, for which libsndfile is needed", fault.Message, StringComparison.Ordinal);
        foreach (var way in (string[])["apt install libsndfile1", "dnf install libsndfile", "brew install libsndfile", "sndfile.dll"])
            Assert.Contains(way, fault.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', fault.Message);
        // Nothing holds the file open.
        File.Delete(_folder[name]);
    }

    [Theory]
    [InlineData("a.flac")]
    [InlineData("a.caf")]
    [InlineData("a.w64")]
    public void Without_the_library_nothing_is_written(string name)
    {
        var options = new WriteOptions { FindLibrary = () => null };
        var fault = Assert.Throws<Fault>(() =>
            AudioWriter.Create(_folder[name], new AudioFormat(48_000, 1, SampleEncoding.Pcm16), null, options)
        );
        Assert.Equal(ExitCode.OutputUnwritable, fault.ExitCode);
        Assert.Contains("apt install libsndfile1", fault.Message, StringComparison.Ordinal);
        Assert.Empty(_folder.Names);
    }

    [Theory]
    [InlineData("a.wav")]
    [InlineData("a.aiff")]
    public void Plain_files_do_not_ask_for_the_library(string name)
    {
        Samples.WriteFile(
            _folder[name],
            new AudioFormat(48_000, 1, SampleEncoding.Pcm16),
            [0.5],
            null,
            new WriteOptions { FindLibrary = Never }
        );
        using var reader = AudioFile.Open(_folder[name], Never);
        Assert.Equal([0.5], reader.ReadAllExact());
        static CodecLibrary? Never() => throw new InvalidOperationException("Nobody should ask.");
    }

    /// <summary>A library of that name that is something else: what is meant to be found in it is not there.</summary>
    [Fact]
    public void A_library_that_is_another_counts_as_missing() => Assert.Null(CodecLibrary.Find(["libc.so.6"]));

    [Fact]
    public void A_flac_that_is_cut_off_is_read_as_far_as_it_goes()
    {
        var values = Samples.Exact(SampleEncoding.Pcm16, 50_000);
        Samples.WriteFile(_folder["whole.flac"], new AudioFormat(48_000, 1, SampleEncoding.Pcm16), values);
        var bytes = File.ReadAllBytes(_folder["whole.flac"]);
        using var reader = AudioFile.Open(_folder.Put("take 3.flac", bytes[..(bytes.Length / 2)]));
        var notice = Assert.Single(reader.Notices);
        Assert.Equal("damaged-file", notice.Code);
        Assert.StartsWith("\"take 3.flac\" says it holds 0:01.042 and can be decoded up to", notice.Text, StringComparison.Ordinal);
        // Noise does not shrink: half the bytes hold about half the frames, in blocks of 4096.
        Assert.InRange(reader.FrameCount, 20_000, 25_000);
        Assert.Equal(values[..(int)reader.FrameCount], reader.ReadAllExact());
        Assert.Equal([notice], reader.Notices);
    }

    [Theory]
    [InlineData("fLaC")]
    [InlineData("caff")]
    [InlineData("ID3")]
    public void What_only_looks_like_a_codec_is_refused(string start)
    {
        byte[] bytes = [.. System.Text.Encoding.ASCII.GetBytes(start), .. new byte[500]];
        var fault = Assert.Throws<Fault>(() => AudioFile.Open(_folder.Put("a.flac", bytes)));
        Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
        Assert.DoesNotContain('\n', fault.Message);
        File.Delete(_folder["a.flac"]);
    }

    private void MakeTone(string name, int format, int sampleRateHz, int frameCount)
    {
        var tone = new float[2 * frameCount];
        for (var i = 0; i < frameCount; i++)
        {
            tone[2 * i] = 0.25f * MathF.Sin(2 * MathF.PI * 440 * i / sampleRateHz);
            tone[2 * i + 1] = 0.25f * MathF.Sin(2 * MathF.PI * 660 * i / sampleRateHz);
        }
        using var file = LibSndFile.OpenWrite(_folder[name], format, sampleRateHz, 2);
        file.Write(tone);
    }
}
