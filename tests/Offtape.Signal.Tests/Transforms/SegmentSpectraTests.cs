using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>Welch's spectra against power by Parseval's theorem and the scatter of Gaussian noise.</summary>
public sealed class SegmentSpectraTests
{
    private const int RateHz = 48_000;

    /// <summary>A sine of peak 0.5 has the mean square 0.125, wherever it lies between two bins, and none of it elsewhere.</summary>
    [Theory]
    [InlineData(1000)]
    [InlineData(1000.7)]
    [InlineData(50.37)]
    public void A_tone_has_its_mean_square_about_its_frequency(double frequencyHz)
    {
        var signal = new float[200_000];
        for (var i = 0; i < signal.Length; i++)
            signal[i] = (float)(0.5 * Math.Sin(2 * Math.PI * frequencyHz * i / RateHz));
        var spectra = SegmentSpectra.Of(signal, RateHz, 32_768);
        // Outside ±8 bins a Hann window leaves less than 1e-5 of the power.
        var power = spectra.Power(spectra.Weights(frequencyHz - 12, frequencyHz + 12)).Mean;
        Measured.Within(0.125, power, 0.125 * 1e-3);
        Measured.AtMost(1e-6, spectra.Power(spectra.Weights(frequencyHz + 50, 20_000)).Mean);
    }

    /// <summary>
    /// White noise of variance 1: the band from f1 to f2 holds (f2 − f1)/(rate/2) of it, and the stated standard error is the scatter over many
    /// runs: of 200, a standard deviation is known within 1/√400 = 5 %; three times that is allowed.
    /// </summary>
    [Fact]
    public void Noise_has_its_power_and_the_stated_standard_error_is_its_scatter()
    {
        var random = new Random(11);
        const int runs = 200;
        var (sum, squares, stated) = (0.0, 0.0, 0.0);
        const double wanted = (3000 - 1000) / (RateHz / 2.0);
        for (var run = 0; run < runs; run++)
        {
            var signal = new float[40_000];
            foreach (ref var value in signal.AsSpan())
                value = (float)(Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble()));
            var spectra = SegmentSpectra.Of(signal, RateHz, 2048);
            var (mean, error) = spectra.Power(spectra.Weights(1000, 3000));
            sum += mean;
            squares += (mean - wanted) * (mean - wanted);
            stated += error * error;
        }
        Measured.Within(1, sum / runs / wanted, 0.01);
        Measured.Within(1, Math.Sqrt(stated / squares), 0.15);
    }

    /// <summary>Weights of neighbouring bands share their common bin: together they are the weights of both.</summary>
    [Fact]
    public void Bands_side_by_side_add_up_and_carry_their_gain()
    {
        var spectra = SegmentSpectra.Of(new float[4096], RateHz, 4096);
        var both = spectra.Weights(100, 1234.5);
        var low = spectra.Weights(100, 555.5);
        var high = spectra.Weights(555.5, 1234.5, _ => 2);
        for (var k = 0; k < both.Length; k++)
            Measured.Within(both[k], low[k] + high[k] / 2, 1e-12);
        Measured.Within((1234.5 - 100) / spectra.BinHz, both.Sum(), 1e-9);
    }
}
