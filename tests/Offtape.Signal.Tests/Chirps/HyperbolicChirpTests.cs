using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>Checks the hyperbolic chirp against values worked by hand from f(t) = f0·f1·T ÷ ((f0 − f1)·t + f1·T).</summary>
public sealed class HyperbolicChirpTests
{
    private static readonly HyperbolicChirp Chirp = new(2000, 10_000, 0.5);

    [Theory, InlineData(0, 2000), InlineData(0.1, 2380.952), InlineData(0.25, 3333.333), InlineData(0.4, 5555.556), InlineData(0.5, 10_000)]
    public void Frequency_is_the_worked_value(double timeSeconds, double wantedHz)
    {
        Measured.Within(wantedHz, Chirp.FrequencyHz(timeSeconds), 0.0005);
        Measured.Within(timeSeconds, Chirp.TimeSeconds(Chirp.FrequencyHz(timeSeconds)), 1e-12);
    }

    [Fact]
    public void Whole_chirp_runs_the_worked_number_of_cycles() => Measured.Within(2011.797, Chirp.LengthCycles, 0.0005);

    [Theory, InlineData(1.001, 0.62438), InlineData(1.003, 1.86939), InlineData(1.01, 6.18812)]
    public void Speed_moves_it_by_the_worked_time(double speedRatio, double wantedMilliseconds) =>
        Measured.Within(wantedMilliseconds, Chirp.TimeShiftSeconds(speedRatio) * 1000, 0.000005);
}
