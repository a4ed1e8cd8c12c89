using Offtape.Testing;

namespace Offtape.Signal.Tests.Filters;

/// <summary>Forwards and backwards: |H|² and no phase, from the closed form of the section's response.</summary>
public sealed class ZeroPhaseTests
{
    /// <summary>A sine comes out as the same sine times |H|². Away from the ends, where the filter has rung out (1e-9).</summary>
    [Theory]
    [InlineData(2)]
    [InlineData(10)]
    [InlineData(25)]
    public void A_sine_keeps_its_phase_and_takes_the_square_of_the_gain(double hz)
    {
        const double rateHz = 500;
        var sections = FilterDesign.ButterworthLowPass(4, 10, rateHz);
        var gain = Math.Pow(new FilterCascade(sections).ResponseAt(hz, rateHz).Magnitude, 2);
        var signal = new double[3000];
        for (var i = 0; i < signal.Length; i++)
            signal[i] = Math.Sin(2 * Math.PI * hz * i / rateHz + 1);
        ZeroPhase.Apply(sections, signal, 500);
        for (var i = 1000; i < 2000; i++)
            Measured.Within(gain * Math.Sin(2 * Math.PI * hz * i / rateHz + 1), signal[i], 1e-9, $"sample {i}");
    }

    [Fact]
    public void A_ramp_comes_out_as_it_went_in_to_its_very_ends()
    {
        var signal = new double[400];
        for (var i = 0; i < signal.Length; i++)
            signal[i] = 3 - 0.01 * i;
        ZeroPhase.Apply(FilterDesign.ButterworthLowPass(2, 10, 500), signal, 390);
        for (var i = 0; i < signal.Length; i++)
            // The continued ramp begins 390 frames out; a corner of 10 Hz at 500 Hz has then rung down by e^(−390·2π·10/500/√2).
            Measured.Within(3 - 0.01 * i, signal[i], 1e-9, $"sample {i}");
    }

    [Fact]
    public void Time_may_run_either_way()
    {
        var random = new Random(1);
        double[] signal = [.. Enumerable.Range(0, 900).Select(_ => random.NextDouble())];
        double[] reversed = [.. signal.Reverse()];
        var sections = FilterDesign.ButterworthLowPass(3, 20, 500);
        ZeroPhase.Apply(sections, signal, 300);
        ZeroPhase.Apply(sections, reversed, 300);
        Array.Reverse(reversed);
        for (var i = 0; i < signal.Length; i++)
            // The ends are continued for 300 frames, in which the filter rings down by more than a million.
            Measured.Within(signal[i], reversed[i], 1e-6, $"sample {i}");
    }

    [Fact]
    public void Short_and_empty_signals_pass()
    {
        double[] one = [0.5];
        ZeroPhase.Apply(FilterDesign.ButterworthLowPass(2, 10, 500), one, 100);
        Measured.Within(0.5, one[0], 1e-12);
        ZeroPhase.Apply(FilterDesign.ButterworthLowPass(2, 10, 500), [], 100);
    }
}
