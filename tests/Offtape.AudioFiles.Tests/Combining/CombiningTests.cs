using Offtape.Base;

namespace Offtape.AudioFiles.Tests;

/// <summary>Several files of one recording as one, and some channels of a file as a file.</summary>
public sealed class CombiningTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Mono_files_stand_side_by_side()
    {
        var (left, right) = (Mono("l.wav", SampleEncoding.Pcm24, 9_001), Mono("r.wav", SampleEncoding.Pcm24, 9_001, seed: 8));
        using var reader = AudioFile.OpenTogether([left.Path, right.Path]);
        Assert.Equal(new AudioFormat(48_000, 2, SampleEncoding.Pcm24), reader.Format);
        Assert.Equal(9_001, reader.FrameCount);
        Assert.Empty(reader.Notices);
        Assert.Equal(1234, reader.Metadata.TimeReferenceFrames);
        Assert.Equal(left.Path, reader.Path);
        var values = reader.ReadAllExact();
        Assert.Equal(left.Values, Channel(values, 2, 0));
        Assert.Equal(right.Values, Channel(values, 2, 1));
        Assert.Equal(values.Select(v => (float)v), reader.ReadAll());
        var middle = new float[2 * 5_000];
        Assert.Equal(4_001, reader.Read(5_000, middle));
        Assert.Equal((float)right.Values[9_000], middle[2 * 4_000 + 1]);
    }

    [Fact]
    public void A_shorter_file_ends_in_silence_and_that_is_told()
    {
        var (a, b) = (Mono("a.wav", SampleEncoding.Pcm16, 10_000), Mono("b.wav", SampleEncoding.Pcm16, 4_500, seed: 8));
        using var reader = AudioFile.OpenTogether([a.Path, b.Path]);
        var notice = Assert.Single(reader.Notices);
        Assert.Equal("lengths-differ", notice.Code);
        Assert.Contains("\"b.wav\" is shorter", notice.Text, StringComparison.Ordinal);
        Assert.Equal(10_000, reader.FrameCount);
        // What was in the buffer before must not be heard.
        var buffer = new float[20_000];
        Array.Fill(buffer, 9f);
        Assert.Equal(10_000, reader.Read(0, buffer));
        Assert.Equal(b.Values.Select(v => (float)v).Concat(new float[5_500]), Channel(buffer, 2, 1));
        Assert.Equal(a.Values.Select(v => (float)v), Channel(buffer, 2, 0));
    }

    [Theory]
    [InlineData(SampleEncoding.Pcm16, SampleEncoding.Pcm24, SampleEncoding.Pcm24)]
    [InlineData(SampleEncoding.Pcm24, SampleEncoding.Float32, SampleEncoding.Float32)]
    [InlineData(SampleEncoding.Pcm32, SampleEncoding.Float32, SampleEncoding.Float64)]
    public void The_encoding_is_one_that_holds_all_values(SampleEncoding first, SampleEncoding second, SampleEncoding together)
    {
        using var reader = AudioFile.OpenTogether([Mono("a.wav", first, 10).Path, Mono("b.wav", second, 10).Path]);
        Assert.Equal(together, reader.Format.Encoding);
    }

    [Fact]
    public void Rates_must_agree()
    {
        var a = Mono("a.wav", SampleEncoding.Pcm16, 10).Path;
        Samples.WriteFile(_folder["b.wav"], new AudioFormat(44_100, 1, SampleEncoding.Pcm16), [0]);
        var fault = Assert.Throws<Fault>(() => AudioFile.OpenTogether([a, _folder["b.wav"]]));
        Assert.Equal(ExitCode.InputUnreadable, fault.ExitCode);
        Assert.Contains("\"b.wav\": its rate is 44100 Hz and that of \"a.wav\" is 48000 Hz", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void One_that_cannot_be_read_closes_the_others()
    {
        var a = Mono("a.wav", SampleEncoding.Pcm16, 10).Path;
        Assert.Throws<Fault>(() => AudioFile.OpenTogether([a, _folder["none.wav"]]));
        // On systems that lock open files this would fail.
        File.Delete(a);
    }

    [Fact]
    public void More_than_64_channels_are_refused()
    {
        Samples.WriteFile(_folder["a.wav"], new AudioFormat(48_000, 33, SampleEncoding.Pcm16), new double[33]);
        Assert.Throws<Fault>(() => AudioFile.OpenTogether([_folder["a.wav"], _folder["a.wav"]]));
    }

    [Fact]
    public void Channels_are_picked_in_the_order_asked_for()
    {
        var values = Samples.Exact(SampleEncoding.Pcm24, 4 * 10_000);
        var metadata = new AudioMetadata { TimeReferenceFrames = 77, Ixml = "<x/>" };
        Samples.WriteFile(_folder["a.wav"], new AudioFormat(96_000, 4, SampleEncoding.Pcm24), values, metadata);
        using var reader = AudioFile.Open(_folder["a.wav"]).PickChannels([3, 0, 3]);
        Assert.Equal(new AudioFormat(96_000, 3, SampleEncoding.Pcm24), reader.Format);
        Assert.Equal((10_000, 77, "<x/>"), (reader.FrameCount, reader.Metadata.TimeReferenceFrames, reader.Metadata.Ixml));
        var got = reader.ReadAllExact();
        Assert.Equal(Channel(values, 4, 3), Channel(got, 3, 0));
        Assert.Equal(Channel(values, 4, 0), Channel(got, 3, 1));
        Assert.Equal(Channel(values, 4, 3), Channel(got, 3, 2));
        Assert.Equal(got.Select(v => (float)v), reader.ReadAll());
        var late = new float[3 * 20];
        Assert.Equal(5, reader.Read(9_995, late));
        Assert.Equal((float)values[4 * 9_999], late[3 * 4 + 1]);
    }

    [Theory]
    [InlineData(2)]
    [InlineData(-1)]
    public void A_channel_that_is_not_there_is_wrong_usage(int index)
    {
        Samples.WriteFile(_folder["a.wav"], new AudioFormat(48_000, 2, SampleEncoding.Pcm16), [0, 0]);
        using var reader = AudioFile.Open(_folder["a.wav"]);
        var fault = Assert.Throws<Fault>(() => reader.PickChannels([0, index]));
        Assert.Equal(ExitCode.Usage, fault.ExitCode);
        Assert.Contains($"Channel {index + 1} is asked for, and \"a.wav\" has 2 channels", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Channel_by_channel()
    {
        var values = Samples.Exact(SampleEncoding.Float32, 3 * 10_000);
        Samples.WriteFile(_folder["a.wav"], new AudioFormat(48_000, 3, SampleEncoding.Float32), values);
        using var reader = AudioFile.Open(_folder["a.wav"]);
        float[][] channels = [new float[6_000], new float[6_000], new float[6_000]];
        Assert.Equal(6_000, reader.ReadChannels(500, 6_000, channels));
        var one = new float[20_000];
        for (var channel = 0; channel < 3; channel++)
        {
            var wanted = Channel(values, 3, channel).Select(v => (float)v).ToArray();
            Assert.Equal(wanted[500..6_500], channels[channel]);
            Assert.Equal(10_000, reader.ReadChannel(channel, 0, one));
            Assert.Equal(wanted, one[..10_000]);
        }
        Assert.Equal(0, reader.ReadChannel(1, 10_000, one));
        Assert.Throws<ArgumentOutOfRangeException>(() => reader.ReadChannel(3, 0, one));
        Assert.Throws<ArgumentException>(() => reader.ReadChannels(0, 1, [one]));
    }

    private (string Path, double[] Values) Mono(string name, SampleEncoding encoding, int frameCount, int seed = 7)
    {
        var values = Samples.Exact(encoding, frameCount, seed);
        Samples.WriteFile(_folder[name], new AudioFormat(48_000, 1, encoding), values, new AudioMetadata { TimeReferenceFrames = 1234 });
        return (_folder[name], values);
    }

    private static T[] Channel<T>(T[] interleaved, int channelCount, int channel) =>
        [.. Enumerable.Range(0, interleaved.Length / channelCount).Select(i => interleaved[i * channelCount + channel])];
}
