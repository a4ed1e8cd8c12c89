using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>
/// Checks the hyperbolic chirp against values worked by hand from f(t) = f0·f1·T ÷ ((f0 − f1)·t + f1·T) (Yang and Sarkar 2006), against
/// scipy.signal.chirp, and against the property that it is made for: speed only moves it in time.
/// </summary>
public sealed class HyperbolicChirpTests
{
    private static readonly HyperbolicChirp Rising = new(2000, 10_000, 0.5);
    private static readonly HyperbolicChirp Falling = new(6000, 500, 0.5);

    // The worked values are printed to three places of Hz and of cycles.
    [
        Theory,
        InlineData(0, 2000),
        InlineData(0.1, 2380.952),
        InlineData(0.25, 3333.333),
        InlineData(0.4, 5555.556),
        InlineData(0.5, 10_000)
    ]
    public void Frequency_is_the_worked_value(double timeSeconds, double wantedHz)
    {
        Measured.Within(wantedHz, Rising.FrequencyHz(timeSeconds), 0.0005);
        Measured.Within(timeSeconds, Rising.TimeSeconds(Rising.FrequencyHz(timeSeconds)), 1e-12);
    }

    [Fact]
    public void Whole_chirp_runs_the_worked_number_of_cycles() => Measured.Within(2011.797, Rising.LengthCycles, 0.0005);

    [Theory, InlineData(1.001, 0.62438), InlineData(1.003, 1.86939), InlineData(1.01, 6.18812)]
    public void Speed_moves_it_by_the_worked_time(double speedRatio, double wantedMilliseconds) =>
        Measured.Within(wantedMilliseconds, Rising.TimeShiftSeconds(speedRatio) * 1000, 0.000005);

    /// <summary>Period linear in time, the definition: equal steps of time are equal steps of 1/f. Tolerance: double rounding.</summary>
    [Fact]
    public void Period_is_linear_in_time()
    {
        foreach (var chirp in new[] { Rising, Falling })
        {
            var slope = (1 / chirp.EndHz - 1 / chirp.StartHz) / chirp.DurationSeconds;
            for (var time = 0.0; time <= 0.5; time += 0.01)
                Measured.Within(1 / chirp.StartHz + slope * time, 1 / chirp.FrequencyHz(time), 1e-17);
        }
    }

    /// <summary>Phase is the integral of frequency: Simpson's rule over short pieces, whose own error is below 1e−9 cycles here.</summary>
    [Fact]
    public void Phase_is_the_integral_of_frequency()
    {
        foreach (var chirp in new[] { Rising, Falling })
        {
            var cycles = 0.0;
            const double step = 1e-4;
            for (var i = 0; i < 5000; i++)
            {
                var time = i * step;
                var (from, middle, to) = (chirp.FrequencyHz(time), chirp.FrequencyHz(time + step / 2), chirp.FrequencyHz(time + step));
                cycles += step / 6 * (from + 4 * middle + to);
                Measured.Within(cycles, chirp.PhaseCycles((i + 1) * step), 1e-8);
            }
        }
    }

    /// <summary>Played s times as fast it has the frequency s·f(s·t), which is f(t + shift), and its phase differs by a constant.</summary>
    [Theory, InlineData(0.4), InlineData(0.97), InlineData(1.003), InlineData(2.5)]
    public void Speed_only_moves_it_in_time(double speedRatio)
    {
        foreach (var chirp in new[] { Rising, Falling })
        {
            var shift = chirp.TimeShiftSeconds(speedRatio);
            var phase = chirp.PhaseCycles(0) - chirp.PhaseCycles(shift);
            for (var time = 0.0; time * speedRatio <= chirp.DurationSeconds; time += 0.01)
            {
                var wantedHz = speedRatio * chirp.FrequencyHz(speedRatio * time);
                Measured.Within(wantedHz, chirp.FrequencyHz(time + shift), 1e-9 * wantedHz, "frequency in Hz");
                Measured.Within(phase, chirp.PhaseCycles(speedRatio * time) - chirp.PhaseCycles(time + shift), 1e-8, "phase in cycles");
            }
        }
    }

    /// <summary>And so the matched filter of the unscaled chirp finds the scaled one, its envelope moved by the closed form.</summary>
    [Theory, InlineData(0.97), InlineData(1.003), InlineData(1.04)]
    public void Matched_filter_finds_it_at_another_speed_moved_by_the_closed_form(double speedRatio)
    {
        const int rate = 48_000;
        foreach (var chirp in new[] { new HyperbolicChirp(500, 6000, 0.4), new HyperbolicChirp(6000, 500, 0.4) })
        {
            var (template, quadrature, input) = (new float[rate * 2 / 5], new float[rate * 2 / 5], new float[rate]);
            chirp.Synthesise(rate, 0, template);
            chirp.SynthesiseQuadrature(rate, 0, quadrature);
            const int start = 12_000;
            for (var n = start; n < input.Length && (n - start) * speedRatio / rate <= chirp.DurationSeconds; n++)
                input[n] = (float)Math.Sin(2 * Math.PI * chirp.PhaseCycles((n - start) * speedRatio / rate));
            var (best, where) = (0.0, 0L);
            var filter = new MatchedFilter(template, quadrature);
            void Look(in MatchedBlock block)
            {
                for (var i = 0; i < block.Count; i++)
                {
                    if (block.Amplitude(i) > best)
                        (best, where) = (block.Amplitude(i), block.StartFrame + i);
                }
            }
            filter.Process(input, Look);
            filter.Finish(Look);
            // The peak is about 1 ÷ bandwidth = 9 frames wide, noise-free, on a grid of one frame.
            Measured.Within(start - chirp.TimeShiftSeconds(speedRatio) * rate, where, 1, "frame of the peak");
            // What both have in common is all but the frequencies below or above the other's range.
            Measured.AtLeast(0.9, best, "height of the peak");
        }
    }

    /// <summary>scipy.signal.chirp, method hyperbolic, turned a quarter cycle; tolerance: single precision.</summary>
    [Theory, InlineData("rising"), InlineData("falling")]
    public void Samples_are_SciPys(string column)
    {
        var chirp = column == "rising" ? Rising : Falling;
        var wanted = Reference.Column("hyperbolic-chirp.csv", column);
        var samples = new float[24_000];
        chirp.Synthesise(48_000, 0, samples);
        for (var i = 0; i < wanted.Length; i++)
            Measured.Within(wanted[i], samples[97 * i], 1e-6, $"sample {97 * i}");
    }

    [Fact]
    public void Quadrature_is_a_quarter_cycle_late()
    {
        var (inPhase, quadrature) = (new float[1000], new float[1000]);
        Rising.Synthesise(48_000, 0.1, inPhase, 0.2);
        Rising.SynthesiseQuadrature(48_000, 0.1, quadrature, 0.2);
        for (var i = 0; i < 1000; i++)
        {
            var phase = 2 * Math.PI * (Rising.PhaseCycles(0.1 + i / 48_000.0) + 0.2);
            Measured.Within(Math.Sin(phase), inPhase[i], 1e-6);
            Measured.Within(-Math.Cos(phase), quadrature[i], 1e-6);
        }
    }

    [Fact]
    public void Nothing_sounds_before_the_start_and_after_the_end()
    {
        var samples = new float[48_000];
        Falling.Synthesise(48_000, -0.25, samples, 0.25);
        Assert.All(samples[..11_999], value => Assert.Equal(0, value));
        Assert.All(samples[36_002..], value => Assert.Equal(0, value));
        Measured.Within(1, samples[12_000], 1e-6);
        Assert.Contains(samples[35_900..36_000], value => Math.Abs(value) > 0.9);
    }

    [Fact]
    public void Pieces_are_the_whole()
    {
        var (whole, pieces) = (new float[5000], new float[5000]);
        Rising.Synthesise(44_100, -0.01, whole);
        for (var at = 0; at < 5000; at += 700)
            Rising.Synthesise(44_100, -0.01 + at / 44_100.0, pieces.AsSpan(at, Math.Min(700, 5000 - at)));
        // Times are sums in double: equal to 1e−16 s, which is 1e−12 cycles.
        for (var i = 0; i < 5000; i++)
            Measured.Within(whole[i], pieces[i], 1.2e-7);
    }

    [Fact]
    public void Synthesis_allocates_nothing()
    {
        var samples = new float[1000];
        Rising.Synthesise(48_000, 0, samples);
        var before = GC.GetAllocatedBytesForCurrentThread();
        Rising.Synthesise(48_000, 0, samples);
        Rising.SynthesiseQuadrature(48_000, 0, samples);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    [Theory, InlineData(0, 100, 1), InlineData(100, 0, 1), InlineData(100, 100, 1), InlineData(100, 200, 0), InlineData(double.NaN, 1, 1)]
    public void Chirps_that_cannot_be_are_refused(double startHz, double endHz, double seconds) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => new HyperbolicChirp(startHz, endHz, seconds));
}
