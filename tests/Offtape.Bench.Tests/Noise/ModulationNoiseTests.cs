using Offtape.Base;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>Trembling of a tone's level against its own formula: a sine of depth m has the power m²/2.</summary>
public sealed class ModulationNoiseTests
{
    private const string Condition = "100 Hz to 1000 Hz beside 3150 Hz";
    private const double Depth = 0.004;

    /// <summary>
    /// Wow of ±0.5 % at 4 Hz and flutter of ±0.1 % at 150 Hz spread the tone's lines over the same band and far above the noise; the envelope does
    /// not see them. White noise of the silence, as strong there as the trembling, is taken off.
    /// </summary>
    [Theory]
    [InlineData(0, 0)]
    [InlineData(0.005, 0)]
    [InlineData(0.005, 0.002)]
    public void Trembling_is_read_through_wow_flutter_and_hiss(double wow, double noiseRms)
    {
        var capture = BenchRun.Of(
            ["speed", "silence"],
            channels =>
            {
                var sheet = BenchRun.Sheet("speed", "silence");
                var part = sheet.Parts.Single(p => p.Kind == BenchPartKind.SpeedTone);
                var peak = BenchRun.Operating * Conversions.DbToAmplitude(part.LevelDb);
                for (var i = 0; i < (int)(part.LengthSeconds * BenchRun.RateHz); i++)
                {
                    var t = (double)i / BenchRun.RateHz;
                    var moved = t - wow / (2 * Math.PI * 4) * Math.Cos(2 * Math.PI * 4 * t);
                    if (wow > 0)
                        moved -= 0.001 / (2 * Math.PI * 150) * Math.Cos(2 * Math.PI * 150 * t);
                    var level = 1 + Depth * Math.Sin(2 * Math.PI * 320 * t);
                    channels[0][(int)(part.StartSeconds * BenchRun.RateHz) + i] = (float)(
                        peak * level * Math.Sin(2 * Math.PI * 3150 * moved)
                    );
                }
                BenchRun.AddNoise(channels[0], noiseRms, 4);
            }
        );

        var reading = ModulationNoiseReader.Read(capture, new MachineFacts(), CancellationToken.None).Only("modulationNoise", 1, Condition);

        Measured.Within(
            Conversions.PowerToDb(Depth * Depth / 2),
            reading.Value!.Value,
            noiseRms == 0 ? 0.02 : 2 * reading.Uncertainty!.Value
        );
    }

    [Fact]
    public void A_steady_tone_in_hiss_has_none_and_says_so()
    {
        var capture = BenchRun.Of(["speed", "silence"], c => BenchRun.AddNoise(c[0], 0.002, 9));
        var reading = ModulationNoiseReader.Read(capture, new MachineFacts(), CancellationToken.None).Only("modulationNoise", 1, Condition);
        Assert.Null(reading.Value);
        Assert.NotNull(reading.AtMost);
    }
}
