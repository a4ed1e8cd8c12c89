using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Passes.Tests;

public sealed class TrackTests : IDisposable
{
    private readonly SendBench _bench = new();

    public void Dispose() => _bench.Dispose();

    private string Mono(string name) => _bench.Source(name, 0.4);

    private string Stereo(string name) => _bench.Source(name, 0.4, 2);

    private static IReadOnlyList<int>[] TracksOf(SendResult result) => [.. result.Sheet.Items.Select(i => i.Tracks)];

    [Fact]
    public void Serially_a_mono_source_goes_to_every_channel_and_a_stereo_source_to_one_and_two()
    {
        var result = _bench.Run(_bench.Request(Mono("m.wav"), Stereo("s.wav")));
        Assert.Equal(
            [
                [1, 2],
                [1, 2],
            ],
            TracksOf(result)
        );
        Assert.Equal(2, result.Sheet.ChannelCount);
    }

    [Fact]
    public void A_send_of_mono_sources_alone_has_two_channels() =>
        Assert.Equal(2, _bench.Run(_bench.Request(Mono("m.wav"))).Sheet.ChannelCount);

    [Fact]
    public void In_parallel_all_start_together_each_on_its_own_tracks()
    {
        var sources = new[]
        {
            _bench.Source("a.wav", 0.4, seed: 1),
            _bench.Source("b.wav", 0.9, 2, seed: 2),
            _bench.Source("c.wav", 0.2, seed: 3),
        };
        var result = _bench.Run(_bench.Request(sources) with { Layout = SendLayout.Parallel });
        Assert.Equal(
            [
                [1],
                [2, 3],
                [4],
            ],
            TracksOf(result)
        );
        Assert.Equal(4, result.Sheet.ChannelCount);
        Assert.Equal([8, 8, 8], result.Sheet.Items.Select(i => i.StartSeconds));
        Assert.Equal(["head", "tail"], result.Sheet.Slates.Select(s => s.Kind.ToString().ToLowerInvariant()));
        Assert.All(result.Sheet.Slates, s => Assert.Equal([1, 2, 3, 4], s.Tracks));
        var send = _bench.Send();
        var gain = Math.Pow(10, result.Sheet.Items[0].GainDb / 20);
        (int Source, int Channel, double Seconds)[] onTrack = [(1, 0, 0.4), (2, 0, 0.9), (2, 1, 0.9), (3, 0, 0.2)];
        for (var track = 0; track < 4; track++)
        {
            var (source, channel, seconds) = onTrack[track];
            for (var frame = 0; frame < 0.9 * 48_000; frame++)
            {
                var wanted = frame < seconds * 48_000 ? gain * SendBench.Noise(source, frame, channel, 0.5) : 0;
                Measured.Within(wanted, send[8 * 48_000 + frame, track], 0.625 / 8_388_608, $"track {track + 1} frame {frame}");
            }
        }
    }

    [Fact]
    public void Named_tracks_are_kept_and_the_others_take_the_lowest_free_ones()
    {
        var result = _bench.Run(
            _bench.Request(Stereo("kit.wav"), Mono("bass.wav"), Mono("voice.wav")) with
            {
                Layout = SendLayout.Parallel,
                Tracks = TrackAssignment.ParseList("2=bass.wav"),
                StripeTrack = 6,
            }
        );
        Assert.Equal(
            [
                [3, 4],
                [2],
                [1],
            ],
            TracksOf(result)
        );
        Assert.Equal(6, result.Sheet.ChannelCount);
    }

    [Fact]
    public void Serially_named_tracks_hold_one_source_after_another()
    {
        var result = _bench.Run(
            _bench.Request(Mono("bass.wav"), Mono("lead.wav"), Stereo("kit.wav")) with
            {
                Tracks = TrackAssignment.ParseList("3=bass.wav,3=lead.wav,1-2=kit"),
            }
        );
        Assert.Equal(
            [
                [3],
                [3],
                [1, 2],
            ],
            TracksOf(result)
        );
        Assert.Equal(3, result.Sheet.ChannelCount);
        Assert.All(result.Sheet.Slates, s => Assert.Equal([1, 2, 3], s.Tracks));
        var send = _bench.Send();
        var start = (long)Math.Round(result.Sheet.Items[0].StartSeconds * 48_000);
        for (var frame = 0; frame < 1000; frame++)
            Assert.Equal((0, 0), (send[start + frame, 0], send[start + frame, 1]));
    }

    [Theory]
    [InlineData("1=bass.wav,2-3=kit.wav", "1-1:bass.wav 2-3:kit.wav")]
    [InlineData(" 1 = bass.wav , 2 - 3 = my kit.wav ", "1-1:bass.wav 2-3:my kit.wav")]
    [InlineData("1=a, b and c.wav,4=d=e.wav", "1-1:a, b and c.wav 4-4:d=e.wav")]
    [InlineData("12=folder/x.wav", "12-12:folder/x.wav")]
    public void A_list_of_tracks_is_read(string text, string wanted) =>
        Assert.Equal(wanted, string.Join(' ', TrackAssignment.ParseList(text).Select(a => $"{a.FirstTrack}-{a.LastTrack}:{a.Source}")));

    [Theory]
    [InlineData("")]
    [InlineData("bass.wav")]
    [InlineData("1=")]
    [InlineData("x=bass.wav")]
    [InlineData("0=bass.wav")]
    [InlineData("65=bass.wav")]
    [InlineData("99999999999=bass.wav")]
    [InlineData("3-2=bass.wav")]
    [InlineData("-1=bass.wav")]
    public void A_list_that_makes_no_sense_is_wrong_usage(string text) =>
        Assert.Equal(ExitCode.Usage, Assert.Throws<Fault>(() => TrackAssignment.ParseList(text)).ExitCode);

    [Fact]
    public void Two_sources_of_one_name_are_told_apart_by_their_paths()
    {
        var (one, two) = (_bench.Source("a/kit.wav", 0.4, seed: 1), _bench.Source("b/KIT.wav", 0.4, seed: 2));
        var result = _bench.Run(
            _bench.Request(one, two) with
            {
                Layout = SendLayout.Parallel,
                Tracks = [new TrackAssignment(5, 5, one), new TrackAssignment(1, 1, two)],
            }
        );
        Assert.Equal(
            [
                [5],
                [1],
            ],
            TracksOf(result)
        );
        Assert.Equal([1, 2], result.Sheet.Items.Select(i => i.SourceNumber!.Value));
        Assert.Contains(result.Notices, n => n.Code == "same-name");
        Assert.DoesNotContain(_bench.Folder, result.Sheet.ToJson());
    }
}
