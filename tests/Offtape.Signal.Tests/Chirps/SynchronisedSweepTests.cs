using System.Numerics;
using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>
/// Checks the synchronised sweep against values worked by hand from its definition (Novak, Lotton and Simon 2015: κ, L, length, places of the
/// harmonics) and against the property it is made for. The inverse spectrum is checked against a textbook Fourier sum of the sweep itself.
/// </summary>
public sealed class SynchronisedSweepTests
{
    // Worked values, printed to six places of seconds.
    [
        Theory,
        InlineData(20, 20_000, 10, 29, 1.45, 10.016245),
        InlineData(20, 20_000, 5, 14, 0.7, 4.835429),
        InlineData(16, 16_000, 10, 23, 1.4375, 9.929898),
        InlineData(1000, 8000, 1, 481, 0.481, 1.000211)
    ]
    public void Growth_and_length_are_the_worked_values(
        double fromHz,
        double toHz,
        double wanted,
        double kappa,
        double growth,
        double seconds
    )
    {
        var sweep = new SynchronisedSweep(fromHz, toHz, wanted);
        Assert.Equal(kappa, sweep.WholeCycles);
        Measured.Within(growth, sweep.GrowthSeconds, 1e-12);
        Measured.Within(seconds, sweep.DurationSeconds, 5e-7);
    }

    [Theory, InlineData(2, 1.005063), InlineData(3, 1.592988), InlineData(4, 2.010127), InlineData(5, 2.333685)]
    public void Harmonics_lead_by_the_worked_times(int harmonic, double wantedSeconds) =>
        Measured.Within(wantedSeconds, new SynchronisedSweep(20, 20_000, 10).HarmonicLeadSeconds(harmonic), 5e-7);

    /// <summary>The definition: n times the phase is the phase L·ln n later, whole cycles included. Tolerance: double rounding.</summary>
    [Fact]
    public void A_harmonic_is_the_sweep_itself_earlier()
    {
        var sweep = new SynchronisedSweep(20, 20_000, 5);
        for (var harmonic = 2; harmonic <= 5; harmonic++)
        {
            for (var time = 0.0; time < 3; time += 0.1)
            {
                Measured.Within(
                    harmonic * sweep.PhaseCycles(time),
                    sweep.PhaseCycles(time + sweep.HarmonicLeadSeconds(harmonic)),
                    1e-9 * sweep.PhaseCycles(4)
                );
            }
        }
    }

    /// <summary>Frequency is the slope of the phase: a symmetric difference, whose error is below 1e−7 of the frequency for this step.</summary>
    [Fact]
    public void Frequency_is_the_slope_of_the_phase()
    {
        var sweep = new SynchronisedSweep(20, 20_000, 5);
        for (var time = 0.0; time < sweep.DurationSeconds; time += 0.1)
        {
            const double step = 1e-4;
            var slope = (sweep.PhaseCycles(time + step) - sweep.PhaseCycles(time - step)) / (2 * step);
            Measured.Within(slope, sweep.FrequencyHz(time), 1e-7 * slope);
            Measured.Within(time, sweep.TimeSeconds(sweep.FrequencyHz(time)), 1e-12);
        }
    }

    [Fact]
    public void Samples_are_the_formulas_and_nothing_sounds_outside()
    {
        var sweep = new SynchronisedSweep(20, 20_000, 1);
        var samples = new float[60_000];
        sweep.Synthesise(48_000, -0.05, samples);
        for (var i = 0; i < samples.Length; i++)
        {
            var time = -0.05 + i / 48_000.0;
            var growth = sweep.GrowthSeconds;
            var wanted = time < 0 || time > sweep.DurationSeconds ? 0 : Math.Sin(2 * Math.PI * 20 * growth * Math.Exp(time / growth));
            // Single precision, and the phase of some 4000 cycles rounded in double.
            Measured.Within(wanted, samples[i], 1e-6);
        }
    }

    /// <summary>
    /// Sweep times inverse is 1 in the middle of the band: Fourier sum written out. The closed form is that of a sweep without ends, whose
    /// own ripple in the middle is at most 0.25 % at these frequencies (measured by the same sum in another language).
    /// </summary>
    [Theory, InlineData(200), InlineData(1000), InlineData(3000)]
    public void Inverse_spectrum_undoes_the_sweep(double frequencyHz)
    {
        const int rate = 48_000;
        var sweep = new SynchronisedSweep(20, 20_000, 5);
        var samples = new float[(int)(sweep.DurationSeconds * rate)];
        sweep.Synthesise(rate, 0, samples);
        var sum = Complex.Zero;
        for (var i = 0; i < samples.Length; i++)
            sum += samples[i] * Complex.FromPolarCoordinates(1.0 / rate, -2 * Math.PI * frequencyHz * i / rate);
        Measured.Within(0, (sum * sweep.InverseSpectrum(frequencyHz) - Complex.One).Magnitude, 0.003);
    }

    [Fact]
    public void Synthesis_allocates_nothing()
    {
        var sweep = new SynchronisedSweep(20, 20_000, 5);
        var samples = new float[1000];
        sweep.Synthesise(48_000, 0, samples);
        var before = GC.GetAllocatedBytesForCurrentThread();
        sweep.Synthesise(48_000, 1, samples);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    [Theory, InlineData(0, 100, 1), InlineData(100, 100, 1), InlineData(100, 50, 1), InlineData(20, 20_000, 0), InlineData(20, 20_000, 0.1)]
    public void Sweeps_that_cannot_be_are_refused(double fromHz, double toHz, double seconds) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new SynchronisedSweep(fromHz, toHz, seconds));
}
