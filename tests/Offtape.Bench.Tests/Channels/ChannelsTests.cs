using Offtape.Base;
using Offtape.Signal;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>Balance, crosstalk, polarity and order of channels that are mixed by formula.</summary>
public sealed class ChannelsTests
{
    private static readonly MachineFacts Facts = new();
    private static readonly string[] Sweeps = ["silence", "sweep-minus20-left", "sweep-minus20-right"];

    [Theory]
    [InlineData(0.3)]
    [InlineData(-1.2)]
    public void Balance_is_the_ratio_of_the_gains(double db)
    {
        var capture = BenchRun.Of(
            ["level", "speed"],
            channels =>
            {
                Scale(channels[1], Conversions.DbToAmplitude(db));
                for (var c = 0; c < channels.Length; c++)
                    BenchRun.AddNoise(channels[c], 0.001, c);
            }
        );
        var findings = ChannelsReader.Read(capture, Facts, CancellationToken.None);
        foreach (var condition in (string[])["315 Hz, 0 dB", "1 kHz, 0 dB", "3150 Hz, −6 dB"])
            Measured.Within(db, findings.Only("balance", null, condition).Value!.Value, 0.01);
    }

    /// <summary>
    /// The second channel has a hundredth of the first, and the first of the second as much as a first-order high-pass at 2 kHz lets through of
    /// a tenth; then everything is turned down by 3 dB in the second, which crosstalk does not see. Read against the formula of the high-pass.
    /// </summary>
    [Fact]
    public void Crosstalk_is_read_both_ways_against_frequency()
    {
        var highPass = FilterDesign.FirstOrderHighPass(2000, BenchRun.RateHz);
        var capture = BenchRun.Of(
            Sweeps,
            channels =>
            {
                var (left, right) = ((float[])channels[0].Clone(), (float[])channels[1].Clone());
                var leaked = new float[right.Length];
                new Biquad(highPass).Process(right, leaked);
                for (var i = 0; i < left.Length; i++)
                {
                    channels[0][i] = left[i] + 0.1f * leaked[i];
                    channels[1][i] = right[i] + 0.01f * left[i];
                }
                Scale(channels[1], Conversions.DbToAmplitude(-3));
                BenchRun.AddNoise(channels[0], 2e-5, 1);
                BenchRun.AddNoise(channels[1], 2e-5, 2);
            }
        );

        var findings = ChannelsReader.Read(capture, Facts, CancellationToken.None);

        Measured.Within(-40, findings.Only("crosstalk", null, "1 into 2, 1 kHz").Value!.Value, 0.2);
        Measured.Within(-40, findings.Only("crosstalk", null, "1 into 2, 10 kHz").Value!.Value, 0.2);
        var curve = findings.Curve("crosstalk", null, "2 into 1");
        for (var i = 0; i < curve.X.Length; i++)
        {
            if (curve.X[i] is < 200 or > 14_000)
                continue;
            var wanted = -20 + Conversions.AmplitudeToDb(highPass.ResponseAt(curve.X[i], BenchRun.RateHz).Magnitude);
            // Over a third octave on a slope of 6 dB an octave the mean power lies 0.02 dB off the middle's.
            Measured.Within(wanted, curve.Y[i], 0.2 + curve.Uncertainty[i], $"{curve.X[i]:0} Hz");
        }
        Assert.Equal(0, findings.Only("channelsSwapped").Value);
    }

    /// <summary>
    /// In noise that alone would read as a third of it, crosstalk of −34 dB is not read too high: the mean of some twenty bands is known within
    /// 10 %, where noise left in would add 33 %.
    /// </summary>
    [Fact]
    public void Noise_does_not_count_as_crosstalk()
    {
        var capture = BenchRun.Of(
            Sweeps,
            channels =>
            {
                for (var i = 0; i < channels[0].Length; i++)
                    channels[1][i] += 0.02f * channels[0][i];
                BenchRun.AddNoise(channels[0], 0.0066, 3);
                BenchRun.AddNoise(channels[1], 0.0066, 4);
            }
        );
        var curve = ChannelsReader.Read(capture, Facts, CancellationToken.None).Curve("crosstalk", null, "1 into 2");
        var shares = curve.Y.Zip(curve.X).Where(p => p.Second is > 250 and < 14_000 && double.IsFinite(p.First)).ToArray();
        Measured.AtLeast(14, shares.Length, "bands that stand out");
        Measured.Within(1, shares.Average(p => Conversions.DbToPower(p.First)) / 4e-4, 0.15);
    }

    /// <summary>Crosstalk of −70 dB under noise: no value, and a limit that the truth does not exceed.</summary>
    [Fact]
    public void Crosstalk_under_the_noise_is_a_limit()
    {
        for (var seed = 1; seed <= 3; seed++)
        {
            var capture = BenchRun.Of(
                Sweeps,
                channels =>
                {
                    for (var i = 0; i < channels[0].Length; i++)
                        channels[1][i] += 3.16e-4f * channels[0][i];
                    BenchRun.AddNoise(channels[0], 2e-3, 2 * seed);
                    BenchRun.AddNoise(channels[1], 2e-3, 2 * seed + 1);
                }
            );
            var reading = ChannelsReader.Read(capture, Facts, CancellationToken.None).Only("crosstalk", null, "1 into 2, 10 kHz");
            Assert.Null(reading.Value);
            Assert.InRange(reading.AtMost!.Value, -70, -30);
        }
    }

    [Theory]
    [InlineData(1, 1)]
    [InlineData(1, -1)]
    [InlineData(-1, -1)]
    public void Polarity_of_each_channel_and_of_both_against_each_other(int first, int second)
    {
        var capture = BenchRun.Of(
            ["polarity", "sweep-0-both"],
            channels =>
            {
                Scale(channels[0], first);
                Scale(channels[1], second);
                BenchRun.AddNoise(channels[0], 0.002, 1);
                BenchRun.AddNoise(channels[1], 0.002, 2);
                // A machine's low cut-off turns the phase, at 50 Hz by 90°.
                foreach (var channel in channels)
                    new FilterCascade(FilterDesign.ButterworthHighPass(2, 50, BenchRun.RateHz)).Process(channel, channel);
            }
        );
        var findings = ChannelsReader.Read(capture, Facts, CancellationToken.None);
        Assert.Equal(first, findings.Only("polarity", 1).Value);
        Assert.Equal(second, findings.Only("polarity", 2).Value);
        Assert.Equal(first * second, findings.Only("relativePolarity").Value);
    }

    [Fact]
    public void Swapped_channels_are_found_and_read_as_the_channels_of_the_capture()
    {
        var capture = BenchRun.Of(
            Sweeps,
            channels =>
            {
                for (var i = 0; i < channels[0].Length; i++)
                    channels[1][i] += 0.01f * channels[0][i];
                (channels[0], channels[1]) = (channels[1], channels[0]);
                BenchRun.AddNoise(channels[0], 2e-5, 1);
                BenchRun.AddNoise(channels[1], 2e-5, 2);
            }
        );
        var findings = ChannelsReader.Read(capture, Facts, CancellationToken.None);
        Assert.Equal(1, findings.Only("channelsSwapped").Value);
        Measured.Within(-40, findings.Only("crosstalk", null, "2 into 1, 1 kHz").Value!.Value, 0.2);
    }

    /// <summary>Both channels carry the same: nobody can tell which is which, nor what leaks.</summary>
    [Fact]
    public void Mixed_to_mono_there_is_no_order_and_no_crosstalk()
    {
        var capture = BenchRun.Of(
            Sweeps,
            channels =>
            {
                for (var i = 0; i < channels[0].Length; i++)
                    channels[0][i] = channels[1][i] = (channels[0][i] + channels[1][i]) / 2;
            }
        );
        var findings = ChannelsReader.Read(capture, Facts, CancellationToken.None);
        Assert.Null(findings.Only("channelsSwapped").Value);
        Assert.All(findings.Readings.Where(r => r.Quantity == "crosstalk"), r => Assert.True(r.Value is null && r.Reason!.Length > 0));
    }

    [Fact]
    public void A_mono_capture_has_its_polarity_and_no_pairs()
    {
        var sheet = BenchRun.Sheet("polarity", "level");
        var findings = ChannelsReader.Read(BenchRun.Of(sheet, [BenchSignal.Render(sheet)[0]]), Facts, CancellationToken.None);
        Assert.Equal(1, findings.Only("polarity", 1).Value);
        Assert.DoesNotContain(findings.Readings, r => r.Quantity is "balance" or "crosstalk" or "interChannelDelay");
    }

    private static void Scale(float[] channel, double gain)
    {
        for (var i = 0; i < channel.Length; i++)
            channel[i] *= (float)gain;
    }
}
