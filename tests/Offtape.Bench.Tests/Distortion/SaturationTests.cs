using Offtape.Base;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>
/// How loud treble can come out, against the simulated machine itself: its curve never folds, so its most is what comes out when the tone is
/// driven 40 dB over. The reading's own uncertainty is the tolerance, and that is held to a decibel.
/// </summary>
public sealed class SaturationTests
{
    private const int RateHz = 48_000;

    [Theory]
    [InlineData("Typical deck")]
    [InlineData("Kitchen deck, worn")]
    [InlineData("Attic four-track")]
    public void Treble_saturation_is_that_of_the_machine(string name)
    {
        var model = MachinePresets.All.Single(m => m.Name == name) with { TrackCount = 1 };
        var sheet = BenchSheetMaker.Make(new BenchSheetRequest { ChannelCount = 1, Parts = ["level-1000", "stairs-10000"] });
        var back = new SimulatedMachine(model, 3).Run(BenchSignal.Render(sheet), RateHz, new RunOptions());
        var run = Assert.Single(
            BenchLocator.Locate(back.Channels, RateHz, HowTaken.Rewound, sheet, cancellation: TestContext.Current.CancellationToken).Runs
        );
        var reading = SoundReader
            .Read(run, new MachineFacts(), TestContext.Current.CancellationToken)
            .Only("saturationOutputLevel", 1, "10 kHz");
        Assert.NotNull(reading.Value);
        Measured.AtMost(1, reading.Uncertainty!.Value);
        Measured.Within(Most(model), reading.Value.Value, reading.Uncertainty.Value, "saturation in dB");
    }

    /// <summary>A machine that treble cannot fill within the steps: said so, and no number.</summary>
    [Fact]
    public void Treble_that_still_rises_is_not_stated()
    {
        var steps = new double[] { -30, -24, -18, -12, -8, -4, -2, 0, 2, 4, 6, 8, 10 };
        // The most is 4/π of the curve's height, by a square wave's fundamental; at the last step it is 3 dB and more away.
        var output = Array.ConvertAll(steps, s => Conversions.AmplitudeToDb(Fundamental(0.2 * Conversions.DbToAmplitude(s))));
        Assert.True(Conversions.AmplitudeToDb(4 / Math.PI) - output[^1] > 3);
        var reading = SaturationReading.Of(
            new StairsReading
            {
                Channel = 0,
                FrequencyHz = 10_000,
                SentDb = steps,
                Steps = [],
                OutputDb = output,
                OutputSigmaDb = new double[steps.Length],
                ReferenceAmplitude = 1,
            }
        );
        Assert.True(reading.Value is null && reading.Reason!.Contains("still rises", StringComparison.Ordinal), reading.Reason);
    }

    // Of tanh(a·sin), by the defining sum.
    private static double Fundamental(double amplitude)
    {
        const int points = 4096;
        var sum = 0.0;
        for (var i = 0; i < points; i++)
        {
            var sine = Math.Sin(2 * Math.PI * i / points);
            sum += Math.Tanh(amplitude * sine) * sine;
        }
        return 2 * sum / points;
    }

    private static double Most(MachineModel model)
    {
        var still = model with
        {
            Transport = new TransportModel { HeadDistanceMm = model.Transport.HeadDistanceMm },
            Noise = new NoiseModel(),
            Dropouts = new DropoutModel(),
        };
        return Conversions.AmplitudeToDb(Peak(still, 10_000, 40) / Peak(still, 1000, 0));
    }

    private static double Peak(MachineModel model, double hz, double levelDb)
    {
        var peak = Conversions.DbToAmplitude(model.SendOperatingLevelDbfs + levelDb);
        var send = new float[RateHz];
        for (var i = 0; i < send.Length; i++)
            send[i] = (float)(peak * Math.Sin(2 * Math.PI * hz * i / RateHz));
        var options = new RunOptions
        {
            LeadSeconds = 1,
            LeadScatterSeconds = 0,
            ClipsAtFullScale = false,
        };
        var heard = new SimulatedMachine(model, 1).Run([send], RateHz, options).Channels[0].AsSpan((int)(1.4 * RateHz), RateHz / 5);
        var (re, im) = (0.0, 0.0);
        for (var i = 0; i < heard.Length; i++)
        {
            re += heard[i] * Math.Cos(2 * Math.PI * hz / RateHz * i);
            im += heard[i] * Math.Sin(2 * Math.PI * hz / RateHz * i);
        }
        return 2 * Math.Sqrt(re * re + im * im) / heard.Length;
    }
}
