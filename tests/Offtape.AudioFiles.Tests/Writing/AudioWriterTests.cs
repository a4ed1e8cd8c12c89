using Offtape.Base;
using Offtape.Testing;

namespace Offtape.AudioFiles.Tests;

/// <summary>Audio files are written whole or not at all, and grow beyond 4 GB by themselves.</summary>
public sealed class AudioWriterTests : IDisposable
{
    private static readonly AudioFormat Stereo16 = new(48_000, 2, SampleEncoding.Pcm16);

    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    public static TheoryData<string> EveryEnding => [".wav", ".rf64", ".bw64", ".aiff", ".aifc", ".flac", ".caf", ".w64"];

    [Theory, MemberData(nameof(EveryEnding))]
    public void Disposed_before_it_is_complete_nothing_stays(string ending)
    {
        var path = _folder["a" + ending];
        _folder.Put("a" + ending, [5]);
        using (var writer = AudioWriter.Create(path, Stereo16, null, new WriteOptions { Replace = true }))
            writer.Write(new float[100_000]);
        Assert.Equal(["a" + ending], _folder.Names);
        Assert.Equal([5], File.ReadAllBytes(path));
    }

    [Theory, MemberData(nameof(EveryEnding))]
    public void An_existing_target_is_refused(string ending)
    {
        var path = _folder.Put("a" + ending, [5]);
        var fault = Assert.Throws<Fault>(() => AudioWriter.Create(path, Stereo16));
        Assert.Equal(ExitCode.OutputUnwritable, fault.ExitCode);
        Assert.Equal(["a" + ending], _folder.Names);
        Assert.Equal([5], File.ReadAllBytes(path));
    }

    /// <summary>Wherever in the file the disk turns out to be full, at its head, in its middle, or when it is completed.</summary>
    [Theory, MemberData(nameof(EveryEnding))]
    public void A_full_disk_leaves_nothing(string ending)
    {
        var failed = 0;
        for (var room = 0; room < 20_000; room += 997)
        {
            var options = new WriteOptions { OpenTemporary = path => new FailingStream(path, room, FailingStream.NoSpaceLeft) };
            try
            {
                using var writer = AudioWriter.Create(_folder["a" + ending], Stereo16, null, options);
                for (var i = 0; i < 20; i++)
                    writer.Write(Noise(400));
                writer.Complete();
                File.Delete(_folder["a" + ending]);
            }
            catch (Fault fault)
            {
                failed++;
                Assert.Equal(ExitCode.OutputUnwritable, fault.ExitCode);
                Assert.Contains($"\"a{ending}\": the disk is full", fault.Message, StringComparison.Ordinal);
            }
            Assert.Empty(_folder.Names);
        }
        // 16 000 bytes of noise do not shrink, so most rooms are too small.
        Assert.InRange(failed, 15, 21);
    }

    [Fact]
    public void A_target_that_came_into_being_meanwhile_is_kept()
    {
        using var writer = AudioWriter.Create(_folder["a.wav"], Stereo16);
        writer.Write(new float[2]);
        _folder.Put("a.wav", [7]);
        Assert.Contains("it exists already", Assert.Throws<Fault>(writer.Complete).Message, StringComparison.Ordinal);
        Assert.Equal(["a.wav"], _folder.Names);
        Assert.Equal([7], File.ReadAllBytes(_folder["a.wav"]));
    }

    /// <summary>The limit is injected: 500 bytes stand for 4 GB. At the limit the file is a plain WAV, beyond it an RF64.</summary>
    [Theory]
    [InlineData(0, AudioContainer.Wav)]
    [InlineData(1, AudioContainer.Rf64)]
    public void A_wav_becomes_RF64_beyond_the_limit(int framesMore, AudioContainer container)
    {
        // RIFF size: 4 of "WAVE", 36 of JUNK, 24 of format, 8 of the audio's head, and 107 frames of 4 bytes make 500.
        var format = Stereo16;
        var values = Samples.Exact(format.Encoding, 2 * (107 + framesMore));
        Samples.WriteFile(_folder["a.wav"], format, values, null, new WriteOptions { RiffSizeLimitBytes = 500 });

        using var ours = AudioFile.Open(_folder["a.wav"]);
        Assert.Equal(container, ours.Container);
        Assert.Empty(ours.Notices);
        Assert.Equal(values, ours.ReadAllExact());

        using var theirs = LibSndFile.OpenRead(_folder["a.wav"]);
        Assert.Equal(container == AudioContainer.Wav ? LibSndFile.Wav : LibSndFile.Rf64, theirs.Format & 0x0FFF_0000);
        var got = new double[values.Length];
        Assert.Equal(107 + framesMore, theirs.Read(got));
        Assert.Equal(values, got);
    }

    [Fact]
    public void An_AIFF_that_grows_too_large_is_refused_and_nothing_stays()
    {
        var options = new WriteOptions { AiffSizeLimitBytes = 500 };
        using (var writer = AudioWriter.Create(_folder["a.aiff"], Stereo16, null, options))
        {
            writer.Write(new float[200]);
            var fault = Assert.Throws<Fault>(() => writer.Write(new float[200]));
            Assert.Contains("this kind of file holds at most", fault.Message, StringComparison.Ordinal);
        }
        Assert.Empty(_folder.Names);
    }

    [Theory]
    [InlineData("a.mp3", SampleEncoding.Pcm16, 2, "is read but not written")]
    [InlineData("a.ogg", SampleEncoding.Pcm16, 2, "is read but not written")]
    [InlineData("a.opus", SampleEncoding.Pcm16, 2, "is read but not written")]
    [InlineData("a.txt", SampleEncoding.Pcm16, 2, "names no kind of audio file")]
    [InlineData("a", SampleEncoding.Pcm16, 2, "names no kind of audio file")]
    [InlineData(
        "a.flac",
        SampleEncoding.Float32,
        2,
        "FLAC holds up to 8 channels of 16- or 24-bit integers, not 2 channels of 32-bit floats"
    )]
    [InlineData("a.flac", SampleEncoding.Pcm32, 2, "not 2 channels of 32-bit integers")]
    [InlineData("a.flac", SampleEncoding.Pcm16, 9, "not 9 channels of 16-bit integers")]
    public void What_cannot_be_written_is_refused_in_one_line(string name, SampleEncoding encoding, int channelCount, string says)
    {
        var fault = Assert.Throws<Fault>(() => AudioWriter.Create(_folder[name], new AudioFormat(48_000, channelCount, encoding)));
        Assert.Equal(ExitCode.OutputUnwritable, fault.ExitCode);
        Assert.Contains(says, fault.Message, StringComparison.Ordinal);
        Assert.Empty(_folder.Names);
    }

    [Theory]
    [InlineData(48_000, 0)]
    [InlineData(48_000, 65)]
    [InlineData(7_999, 2)]
    [InlineData(384_001, 2)]
    public void Formats_out_of_range_are_the_callers_fault(int sampleRateHz, int channelCount)
    {
        Assert.ThrowsAny<ArgumentOutOfRangeException>(() =>
            AudioWriter.Create(_folder["a.wav"], new AudioFormat(sampleRateHz, channelCount, SampleEncoding.Pcm16))
        );
        Assert.Empty(_folder.Names);
    }

    [Fact]
    public void Parts_of_frames_and_writing_after_the_end_are_the_callers_fault()
    {
        using var writer = AudioWriter.Create(_folder["a.wav"], Stereo16);
        Assert.Throws<ArgumentException>(() => writer.Write(new float[3]));
        writer.Write([]);
        writer.Write(new float[2]);
        writer.Complete();
        Assert.Throws<ObjectDisposedException>(() => writer.Write(new float[2]));
        Assert.Throws<ObjectDisposedException>(writer.Complete);
    }

    /// <summary>A container may be asked for whatever the name.</summary>
    [Fact]
    public void The_options_may_name_the_container()
    {
        Samples.WriteFile(_folder["a.wav"], Stereo16, [0, 0], null, new WriteOptions { Container = AudioContainer.Bw64 });
        using var reader = AudioFile.Open(_folder["a.wav"]);
        Assert.Equal(AudioContainer.Bw64, reader.Container);
    }

    private static float[] Noise(int count)
    {
        var random = new Random(1);
        return [.. Enumerable.Range(0, count).Select(_ => (float)(2 * random.NextDouble() - 1))];
    }
}
