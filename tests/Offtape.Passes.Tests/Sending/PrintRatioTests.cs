using Offtape.Testing;

namespace Offtape.Passes.Tests;

/// <summary>Printing ratio, reversed printing and other sample rates, against sources made from a formula at the send's own positions.</summary>
public sealed class PrintRatioTests : IDisposable
{
    private readonly SendBench _bench = new();

    public void Dispose() => _bench.Dispose();

    private const double Seconds = 2;

    /// <summary>A sweep from 50 Hz to 8 kHz in Hann-shaped swells that begin and end at zero: a band-limited signal known at every instant.</summary>
    private static double Sweep(double seconds)
    {
        if (seconds <= 0 || seconds >= Seconds)
            return 0;
        var phase = 2 * Math.PI * (50 * seconds + (8000 - 50) / (2 * Seconds) * seconds * seconds);
        return 0.5 * Math.Pow(Math.Sin(Math.PI * seconds / Seconds), 2) * Math.Sin(phase);
    }

    private string SweepFile(int sampleRateHz) =>
        PlainWav.Write(
            Path.Combine(_bench.Folder, $"sweep-{sampleRateHz}.wav"),
            sampleRateHz,
            1,
            (int)(Seconds * sampleRateHz),
            (frame, _) => Sweep((double)frame / sampleRateHz)
        );

    /// <summary>
    /// The send against the formula at the instant each frame stands for. Source and send are rounded to 24 bits, the retimer promises
    /// −120 dB: −110 dB of the sweep's power.
    /// </summary>
    private void Compare(SendRequest request, Func<double, double> sourceSecondsAt)
    {
        var result = _bench.Run(request);
        var item = Assert.Single(result.Sheet.Items);
        var send = _bench.Send();
        var start = (long)Math.Round(item.StartSeconds * send.SampleRateHz);
        var gain = Math.Pow(10, item.GainDb / 20);
        double error = 0;
        double power = 0;
        for (long k = -200; k < item.SendLengthSeconds * send.SampleRateHz + 200; k++)
        {
            var wanted = gain * Sweep(sourceSecondsAt((double)k / send.SampleRateHz));
            error += Math.Pow(send[start + k, 0] - wanted, 2);
            power += wanted * wanted;
        }
        Measured.AtMost(-110, 10 * Math.Log10(error / power), "error against the formula, dB");
    }

    [Theory, InlineData(2.0), InlineData(0.75), InlineData(1.2345)]
    public void A_printing_ratio_stretches_the_sound_by_just_that(double ratio)
    {
        var request = _bench.Request(SweepFile(48_000)) with { PrintRatio = ratio };
        Compare(request, sendSeconds => sendSeconds / ratio);
        var sheet = PassSheet.Load(_bench.Target);
        Assert.Equal(ratio, sheet.PrintRatio);
        Assert.Equal(Seconds, sheet.Items[0].LengthSeconds);
        Measured.Within(Seconds * ratio, sheet.Items[0].SendLengthSeconds, 1e-12, "length in the send");
    }

    [Theory, InlineData(1.0), InlineData(1.5)]
    public void A_reversed_source_ends_where_it_began(double ratio)
    {
        var request = _bench.Request(SweepFile(48_000)) with { Reversed = true, PrintRatio = ratio };
        // The item's first frame is the source's last.
        Compare(request, sendSeconds => Seconds - 1.0 / 48_000 - sendSeconds / ratio);
        Assert.True(PassSheet.Load(_bench.Target).Reversed);
    }

    [Theory, InlineData(44_100), InlineData(96_000)]
    public void A_source_at_another_rate_keeps_its_time(int sourceRateHz)
    {
        var request = _bench.Request(SweepFile(sourceRateHz)) with { SampleRateHz = 48_000 };
        Compare(request, sendSeconds => sendSeconds);
        Assert.Equal(sourceRateHz, PassSheet.Load(_bench.Target).Items[0].SampleRateHz);
    }

    /// <summary>
    /// A click on the first frame, stretched: a band-limited click rings alike before and after its middle, so nothing may be cut off at the
    /// source's edge. The retimer promises −120 dB, of a click of ½.
    /// </summary>
    [Theory, InlineData(false), InlineData(true)]
    public void A_stretched_edge_rings_on_both_sides(bool reversed)
    {
        var click = PlainWav.Write(
            Path.Combine(_bench.Folder, "click.wav"),
            48_000,
            1,
            4_000,
            (frame, _) => frame == (reversed ? 3_999 : 0) ? 0.5 : 0
        );
        var result = _bench.Run(_bench.Request(click) with { PrintRatio = 2, Reversed = reversed });
        var send = _bench.Send();
        var start = (long)Math.Round(result.Sheet.Items[0].StartSeconds * 48_000);
        Measured.AtLeast(0.01, Math.Abs(send[start - 3, 0]), "ringing before the start");
        for (var k = 1; k < 300; k++)
            Measured.Within(send[start + k, 0], send[start - k, 0], 0.5e-6, $"{k} frames before the click");
    }

    [Fact]
    public void Reversed_at_its_own_rate_is_the_same_samples_backwards()
    {
        var result = _bench.Run(_bench.Request(_bench.Source("a.wav", 0.5, 2)) with { Reversed = true });
        var (item, send) = (result.Sheet.Items[0], _bench.Send());
        var start = (long)Math.Round(item.StartSeconds * 48_000);
        var gain = Math.Pow(10, item.GainDb / 20);
        for (var frame = 0; frame < item.FrameCount; frame++)
        for (var channel = 0; channel < 2; channel++)
            Measured.Within(
                gain * SendBench.Noise(1, frame, channel, 0.5),
                send[start + item.FrameCount - 1 - frame, channel],
                0.625 / 8_388_608,
                $"frame {frame}"
            );
    }

    [Fact]
    public void Mixed_rates_take_the_highest_and_say_so()
    {
        var result = _bench.Run(
            _bench.Request(_bench.Source("a.wav", 0.5, sampleRateHz: 44_100), _bench.Source("b.wav", 0.5, sampleRateHz: 96_000))
        );
        Assert.Equal(96_000, result.Sheet.SampleRateHz);
        Assert.Contains(result.Notices, n => n.Code == "rate-changed" && n.Text.Contains("a.wav") && !n.Text.Contains("b.wav"));
    }

    [Fact]
    public void A_common_rate_is_kept_without_a_word()
    {
        var result = _bench.Run(_bench.Request(_bench.Source("a.wav", 0.5, sampleRateHz: 44_100)));
        Assert.Equal(44_100, result.Sheet.SampleRateHz);
        Assert.Empty(result.Notices);
    }
}
