using Offtape.Report;

namespace Offtape.Bench.Tests;

/// <summary>Plots hold what was read, number by number, and nothing where nothing was.</summary>
public sealed class NoiseAndChannelPlotTests
{
    [Fact]
    public void Plots_hold_the_curves_that_were_read()
    {
        var findings = Findings();

        var noise = NoisePlots.Spectrum(findings)!;
        var curve = findings.Curve("noiseSpectrum", 2, "recorded silence");
        var line = noise.Series.OfType<LineSeries>().Single(s => s.Label == "recorded silence, channel 2");
        Assert.Equal(curve.X, line.X);
        Assert.Equal(curve.Y, line.Y);

        var delay = ChannelPlots.Delay(findings)!;
        Assert.Equal(findings.Curve("interChannelDelay").Y, delay.Series.OfType<LineSeries>().Single().Y);
        var band = delay.Series.OfType<BandSeries>().Single();
        for (var i = 0; i < band.X.Length; i++)
            Assert.Equal(2 * findings.Curve("interChannelDelay").Uncertainty[i], band.High[i] - band.Low[i], 6);

        var crosstalk = ChannelPlots.Crosstalk(findings)!;
        Assert.Equal("1 into 2", crosstalk.Series.OfType<LineSeries>().Single().Label);
        Assert.NotEmpty(crosstalk.Series.OfType<PointSeries>());
        foreach (var plot in (PlotModel[])[noise, delay, crosstalk])
            Assert.Contains(plot.Title, PlotOutput.ToSvg(plot), StringComparison.Ordinal);
    }

    [Fact]
    public void What_was_not_read_has_no_plot()
    {
        Assert.Null(NoisePlots.Spectrum(Bench.Findings.None));
        Assert.Null(ChannelPlots.Delay(Bench.Findings.None));
        Assert.Null(ChannelPlots.Crosstalk(Bench.Findings.None));
    }

    private static Findings Findings()
    {
        var capture = BenchRun.Of(
            ["silence", "sweep-0-both", "sweep-minus20-left", "sweep-minus20-right"],
            channels =>
            {
                for (var i = 0; i < channels[0].Length; i++)
                {
                    channels[1][i] += 0.02f * channels[0][i];
                    channels[0][i] += (float)(2e-4 * Math.Sin(2 * Math.PI * 50 * i / BenchRun.RateHz));
                }
                BenchRun.AddNoise(channels[0], 1e-3, 1);
                BenchRun.AddNoise(channels[1], 1e-3, 2);
            }
        );
        return NoiseReader.Read(capture, new MachineFacts(), CancellationToken.None)
            + ChannelsReader.Read(capture, new MachineFacts(), CancellationToken.None);
    }
}
