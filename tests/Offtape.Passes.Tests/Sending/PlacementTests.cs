using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Passes.Tests;

/// <summary>The sounds stand in the send where the sheet says, sample for sample.</summary>
public sealed class PlacementTests : IDisposable
{
    private readonly SendBench _bench = new();

    public void Dispose() => _bench.Dispose();

    /// <summary>
    /// Half a step of 24 bits from rounding, and an eighth of one from the product in single precision (2^−25 of values under ½ is 2^−26,
    /// an eighth of 2^−23).
    /// </summary>
    private const double RoundingOf24Bits = 0.625 / 8_388_608;

    private static long StartFrame(SheetItem item, PassSheet sheet) => (long)Math.Round(item.StartSeconds * sheet.SampleRateHz);

    [Fact]
    public void Serial_sources_stand_at_their_start_with_the_stated_gain()
    {
        (int Channels, double Peak, double Seconds)[] sounds = [(1, 0.5, 1.25), (2, 0.25, 0.3333), (1, 0.125, 0.1)];
        var result = _bench.Run(
            _bench.Request([.. sounds.Select((s, i) => _bench.Source($"{i}.wav", s.Seconds, s.Channels, peak: s.Peak, seed: i + 1))])
        );
        var (send, sheet) = (_bench.Send(), PassSheet.Load(_bench.Target));
        Assert.Equal(result.Sheet.ToJson(), sheet.ToJson());
        for (var i = 0; i < sounds.Length; i++)
        {
            var item = sheet.Items[i];
            Assert.Equal(StartFrame(item, sheet) / 48_000.0, item.StartSeconds);
            var gain = Math.Pow(10, item.GainDb / 20);
            for (var frame = 0; frame < item.FrameCount; frame++)
            for (var track = 1; track <= 2; track++)
            {
                var wanted = gain * SendBench.Noise(i + 1, frame, sounds[i].Channels == 1 ? 0 : track - 1, sounds[i].Peak);
                Measured.Within(wanted, send[StartFrame(item, sheet) + frame, track - 1], RoundingOf24Bits, $"{item.Source} frame {frame}");
            }
        }
    }

    [Fact]
    public void Nothing_sounds_outside_items_and_slates()
    {
        _bench.Run(_bench.Request(_bench.Source("a.wav", 0.5), _bench.Source("b.wav", 0.7)) with { LineUp = true });
        var (send, sheet) = (_bench.Send(), PassSheet.Load(_bench.Target));
        var sounding = sheet
            .Items.Select(i => (i.StartSeconds, i.SendLengthSeconds))
            .Concat(sheet.Slates.Select(s => (s.StartSeconds, s.LengthSeconds)))
            .Append((sheet.LineUp!.StartSeconds, sheet.LineUp.LengthSeconds))
            .Select(s => ((long)Math.Round(s.Item1 * 48_000), (long)Math.Ceiling((s.Item1 + s.Item2) * 48_000 - 1e-6)))
            .ToArray();
        for (long frame = 0; frame < send.FrameCount; frame++)
            if (!sounding.Any(s => frame >= s.Item1 && frame < s.Item2))
                Assert.Equal(0, send[frame, 0]);
        Assert.Equal(sheet.LengthSeconds, send.FrameCount / 48_000.0);
    }

    [Fact]
    public void The_first_source_starts_at_the_lead_and_the_next_after_the_gap()
    {
        var result = _bench.Run(
            _bench.Request(_bench.Source("a.wav", 1.5), _bench.Source("b.wav", 1), _bench.Source("c.wav", 2)) with
            {
                LeadSeconds = 5,
                GapSeconds = 3,
            }
        );
        Assert.Equal([5, 9.5, 13.5], result.Sheet.Items.Select(i => i.StartSeconds));
    }

    [Fact]
    public void Unasked_the_first_source_starts_at_eight_seconds_and_gaps_are_two()
    {
        var result = _bench.Run(_bench.Request(_bench.Source("a.wav", 1), _bench.Source("b.wav", 1)));
        Assert.Equal([8, 11], result.Sheet.Items.Select(i => i.StartSeconds));
    }

    [Fact]
    public void One_gain_keeps_the_balance_and_brings_the_loudest_to_the_level()
    {
        var result = _bench.Run(
            _bench.Request(_bench.Source("loud.wav", 1, peak: 0.5), _bench.Source("soft.wav", 1, peak: 0.125)) with
            {
                LevelDbfs = -12,
            }
        );
        var items = result.Sheet.Items;
        Assert.Equal(items[0].GainDb, items[1].GainDb);
        // −12 dBFS less the 0.5 peak's 20·log10(0.5).
        Measured.Within(-12 - 20 * Math.Log10(0.5), items[0].GainDb, 1e-6, "gain, dB");
        Measured.Within(-12, PeakDbfs(items[0], result.Sheet), 1e-4, "peak of the loudest, dBFS");
        Measured.Within(-12 + 20 * Math.Log10(0.125 / 0.5), PeakDbfs(items[1], result.Sheet), 1e-4, "peak of the soft one, dBFS");
    }

    [Fact]
    public void Level_each_brings_every_source_to_the_level()
    {
        var result = _bench.Run(
            _bench.Request(_bench.Source("loud.wav", 1, peak: 0.5), _bench.Source("soft.wav", 1, peak: 0.125)) with
            {
                LevelEach = true,
            }
        );
        foreach (var item in result.Sheet.Items)
        {
            Measured.Within(-6, PeakDbfs(item, result.Sheet), 1e-4, $"peak of {item.Source}, dBFS");
            Measured.Within(-6, item.PeakDbfs + item.GainDb, 1e-6, "peak and gain in the sheet");
        }
    }

    [Fact]
    public void A_source_that_comes_near_the_noise_is_told()
    {
        var (loud, soft) = (_bench.Source("loud.wav", 0.5), _bench.Source("soft.wav", 0.5, peak: 0.5 / 256));
        // 48 dB under the loudest at −6 dBFS: −54 dBFS.
        Assert.Contains(_bench.Run(_bench.Request(loud, soft)).Notices, n => n.Code == "quiet-source" && n.Text.Contains("soft.wav"));
        Assert.Empty(_bench.Run(_bench.Request(loud, soft) with { LevelEach = true, Force = true }).Notices);
    }

    /// <summary>16 bits are dithered: triangular dither of ±1 step and rounding of ½ keep every sample within 1½ steps, and never settle on one value.</summary>
    [Fact]
    public void At_16_bits_the_send_is_dithered_and_24_bits_are_not()
    {
        var path = PlainWav.Write(
            Path.Combine(_bench.Folder, "ramp.wav"),
            48_000,
            1,
            48_000,
            (frame, _) => frame == 0 ? 0.5 : 1000.4 / 32_768 // a level between two steps
        );
        var result = _bench.Run(_bench.Request(path) with { Depth = SendDepth.Pcm16 });
        Assert.Equal("16", result.Sheet.Depth);
        var send = _bench.Send();
        Assert.Equal(16, send.BitsPerSample);
        var start = StartFrame(result.Sheet.Items[0], result.Sheet);
        var gain = Math.Pow(10, result.Sheet.Items[0].GainDb / 20);
        var values = Enumerable.Range(1, 40_000).Select(f => send[start + f, 0] * 32_768).ToArray();
        Assert.True(values.Distinct().Count() >= 3);
        // Dither makes the mean true: standard error of a value spread by at most one step RMS over 40 000.
        Measured.Within(1000.4 * gain, values.Average(), 5 / Math.Sqrt(40_000), "mean, steps");
        Measured.AtMost(1.5, values.Max(v => Math.Abs(v - 1000.4 * gain)), "largest error, steps");
    }

    [Fact]
    public void In_floating_point_the_samples_are_the_products_to_single_precision()
    {
        var result = _bench.Run(_bench.Request(_bench.Source("a.wav", 0.5)) with { Depth = SendDepth.Float32 });
        var send = _bench.Send();
        var (item, gain) = (result.Sheet.Items[0], Math.Pow(10, result.Sheet.Items[0].GainDb / 20));
        Assert.Equal("32f", result.Sheet.Depth);
        for (var frame = 0; frame < item.FrameCount; frame++)
        {
            var wanted = gain * SendBench.Noise(1, frame, 0, 0.5);
            Measured.Within(wanted, send[StartFrame(item, result.Sheet) + frame, 0], Math.Abs(wanted) * Math.Pow(2, -24) + 1e-30, "sample");
        }
    }

    private double PeakDbfs(SheetItem item, PassSheet sheet)
    {
        var send = _bench.Send();
        var start = StartFrame(item, sheet);
        return 20 * Math.Log10(Enumerable.Range(0, (int)item.FrameCount).Max(f => Math.Abs(send[start + f, item.Tracks[0] - 1])));
    }
}
