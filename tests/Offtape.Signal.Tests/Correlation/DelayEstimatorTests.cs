using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>
/// Checks the delay estimator with delays that are exact by formula, and its scatter against the Cramér–Rao bound
/// σ² = 3/(N·π²)·(1 + 2·SNR)/SNR² frames² (a flat signal of the whole band in both channels, independent noise; weights of Knapp and
/// Carter 1976). The full count is `perf … -- delay`; here a small one with fixed seeds.
/// </summary>
public sealed class DelayEstimatorTests
{
    private const int Window = 1024;
    private const int MaxLag = 32;

    /// <summary>
    /// The promise is 1.5 times the bound. A figure clearly below the bound would mean that the test is wrong: 60 trials know σ to 10 %.
    /// </summary>
    [Theory]
    [InlineData(10, 0)]
    [InlineData(20, 0)]
    [InlineData(30, 0)]
    [InlineData(40, 0)]
    [InlineData(10, 0.5)]
    [InlineData(20, 0.5)]
    [InlineData(30, 0.5)]
    [InlineData(40, 0.5)]
    public void Scatter_is_near_the_bound_without_bias_and_foretold(double snrDb, double exponent)
    {
        const int trials = 60;
        var pair = new DelayedPair(Window, MaxLag, seed: 11);
        var estimator = Estimator(exponent);
        var (sum, squares, foretold) = (0.0, 0.0, 0.0);
        for (var trial = 0; trial < trials; trial++)
        {
            var lagFrames = pair.Uniform(-28, 28);
            pair.Fill(lagFrames, snrDb);
            var peak = Best(estimator, pair);
            Assert.Equal(1, peak.Polarity);
            var error = peak.LagFrames - lagFrames;
            sum += error;
            squares += error * error;
            foretold += peak.SigmaFrames * peak.SigmaFrames;
        }
        var snr = Math.Pow(10, snrDb / 10);
        var boundFrames = Math.Sqrt(3 / (Window * Math.PI * Math.PI) * (1 + 2 * snr) / (snr * snr));
        var sigmaFrames = Math.Sqrt(squares / trials);
        Measured.AtMost(1.5, sigmaFrames / boundFrames, "scatter against the bound");
        Measured.AtLeast(0.75, sigmaFrames / boundFrames, "scatter against the bound");
        Measured.AtMost(3.5, Math.Abs(sum / trials) / (sigmaFrames / Math.Sqrt(trials)), "mean error against its own scatter");
        Measured.Within(1, Math.Sqrt(foretold / trials) / sigmaFrames, 0.3, "foretold scatter against the true one");
    }

    /// <summary>
    /// A window that does not fill its transform, wholly faded: neighbouring bins then depend on each other, and a forecast that forgot it
    /// would be 1.9 times too low. 60 trials know σ to 10 %.
    /// </summary>
    [Fact]
    public void Scatter_is_foretold_for_padded_and_faded_windows()
    {
        const int trials = 60;
        var pair = new DelayedPair(520, MaxLag, seed: 12);
        var estimator = new DelayEstimator(Options(0.5) with { WindowFrames = 520, EdgeTaper = 1 });
        var (squares, foretold) = (0.0, 0.0);
        for (var trial = 0; trial < trials; trial++)
        {
            var lagFrames = pair.Uniform(-28, 28);
            pair.Fill(lagFrames, 15);
            var peak = Best(estimator, pair);
            squares += (peak.LagFrames - lagFrames) * (peak.LagFrames - lagFrames);
            foretold += peak.SigmaFrames * peak.SigmaFrames;
        }
        Measured.Within(1, Math.Sqrt(foretold / squares), 0.3, "foretold scatter against the true one");
    }

    /// <summary>The search alone, before any refinement, is right to its own grid of half a frame.</summary>
    [Theory, InlineData(0), InlineData(7.2), InlineData(-29.4)]
    public void Coarse_search_is_right_to_its_grid(double lagFrames)
    {
        var pair = new DelayedPair(Window, MaxLag, seed: 13);
        pair.Fill(lagFrames, 30, -1);
        var search = new DelaySearch(Options(0.5));
        search.Correlate(pair.Reference, pair.Other);
        Assert.True(search.TakeHighest(out var coarse, out var polarity));
        Measured.Within(lagFrames, coarse, 0.3);
        Assert.Equal(-1, polarity);
    }

    /// <summary>Without noise the delay is exact, whole or not; what is left is float rounding and the ends of the window.</summary>
    [Theory, InlineData(0), InlineData(7), InlineData(-31), InlineData(3.25), InlineData(-17.4), InlineData(0.5), InlineData(29.99)]
    public void Delay_without_noise_is_exact(double lagFrames)
    {
        var pair = new DelayedPair(Window, MaxLag, seed: 2);
        pair.Fill(lagFrames, snrDb: 200);
        foreach (var exponent in new[] { 0, 0.5, 0.7, 1 })
        {
            var peak = Best(Estimator(exponent), pair);
            // 40 dB below the bound at 40 dB S/N, which is 2.4e−4 frames; the moved copy rings at its cut ends.
            Measured.Within(lagFrames, peak.LagFrames, lagFrames == Math.Round(lagFrames) ? 1e-6 : 1e-3, $"lag with exponent {exponent}");
            Measured.AtLeast(0.99, peak.Rho, "ρ");
        }
    }

    [Theory, InlineData(1), InlineData(-1), InlineData(-0.2)]
    public void Polarity_is_the_sign_of_the_peak_whatever_the_gain(double gain)
    {
        var pair = new DelayedPair(Window, MaxLag, seed: 3);
        pair.Fill(-5.3, 20, gain);
        var peak = Best(Estimator(0.5), pair);
        Assert.Equal(Math.Sign(gain), peak.Polarity);
        Measured.Within(-5.3, peak.LagFrames, 0.02);

        var upright = new DelayEstimator(Options(0.5) with { UprightOnly = true });
        if (gain < 0)
            Assert.True(Best(upright, pair).Strength < 6, "an upside-down match was taken for an upright one");
        else
            Measured.Within(-5.3, Best(upright, pair).LagFrames, 0.02);
    }

    /// <summary>Strength tells a match from chance: 65 lags of unrelated noise reach 4.6 in the long run, a match at 0 dB begins at 8.</summary>
    [Fact]
    public void Nothing_in_common_is_told_by_strength_and_rho()
    {
        var pair = new DelayedPair(Window, MaxLag, seed: 4);
        var estimator = Estimator(0.5);
        for (var trial = 0; trial < 50; trial++)
        {
            pair.Fill(0, 0, gain: 0);
            var nothing = Best(estimator, pair);
            pair.Fill(pair.Uniform(-28, 28), 0);
            var something = Best(estimator, pair);
            Measured.AtMost(6, nothing.Strength, "strength of nothing");
            Measured.AtLeast(8, something.Strength, "strength of a match");
            Measured.AtMost(0.25, nothing.Rho, "ρ of nothing");
            Measured.AtLeast(0.35, something.Rho, "ρ of a match");
        }
    }

    [Fact]
    public void Rival_places_are_listed_highest_first()
    {
        var pair = new DelayedPair(Window, MaxLag, seed: 5);
        pair.Fill(-11.3, 60);
        var first = (float[])pair.Other.Clone();
        // The same reference again, later and upside down: seed and draws are the same.
        var echo = new DelayedPair(Window, MaxLag, seed: 5);
        echo.Fill(18.6, 60, -0.6);
        for (var n = 0; n < first.Length; n++)
            first[n] += echo.Other[n];
        var peaks = new DelayPeak[3];
        var count = Estimator(0.5).Estimate(pair.Reference, first, peaks);
        Assert.Equal(3, count);
        Measured.Within(-11.3, peaks[0].LagFrames, 0.1);
        Measured.Within(18.6, peaks[1].LagFrames, 0.1);
        Assert.Equal([1, -1], peaks[..2].Select(p => p.Polarity));
        // The third is the first side lobe of a full band's peak, sin(x)/x: −0.22 of it, a frame and a half away.
        Assert.True(peaks[0].Rho > peaks[1].Rho && peaks[1].Rho > peaks[2].Rho, string.Join(", ", peaks));
        Measured.Within(1.43, Math.Abs(peaks[2].LagFrames - peaks[0].LagFrames), 0.2, "distance of the side lobe");
        Measured.Within(0.22, peaks[2].Rho / peaks[0].Rho, 0.1, "height of the side lobe");
    }

    /// <summary>A plain tone fits at every period: the true place and those a period of 16 frames away must all be offered.</summary>
    [Fact]
    public void Tone_offers_every_cycle()
    {
        var (reference, other) = (new float[Window], new float[Window + 2 * MaxLag]);
        for (var n = 0; n < Window; n++)
            reference[n] = (float)Math.Sin(2 * Math.PI * n / 16);
        for (var n = 0; n < other.Length; n++)
            other[n] = (float)Math.Sin(2 * Math.PI * (n - MaxLag - 2.5) / 16);
        var peaks = new DelayPeak[7];
        var count = Estimator(0).Estimate(reference, other, peaks);
        foreach (var wanted in new[] { -13.5, 2.5, 18.5 })
            Assert.Contains(peaks[..count], p => p.Polarity == 1 && Math.Abs(p.LagFrames - wanted) < 0.01);
        foreach (var wanted in new[] { -5.5, 10.5 })
            Assert.Contains(peaks[..count], p => p.Polarity == -1 && Math.Abs(p.LagFrames - wanted) < 0.01);
    }

    /// <summary>Hum that enters both channels at once hides the sound from the plain correlation, and not from the whitened one.</summary>
    [Fact]
    public void Whitening_hears_past_a_common_hum()
    {
        var pair = new DelayedPair(Window, MaxLag, seed: 6);
        pair.Fill(9.25, 20);
        for (var n = 0; n < Window; n++)
            pair.Reference[n] += (float)(30 * Math.Sin(0.05 * n));
        for (var n = 0; n < pair.Other.Length; n++)
            pair.Other[n] += (float)(30 * Math.Sin(0.05 * (n - MaxLag)));
        Measured.AtLeast(1, Math.Abs(Best(Estimator(0), pair).LagFrames - 9.25), "error of the plain correlation");
        Measured.Within(9.25, Best(Estimator(1), pair).LagFrames, 0.05, "lag of the whitened correlation");
    }

    /// <summary>Unrelated sound above the band is shut out by the band limits, and the one below it too.</summary>
    [Fact]
    public void Band_limits_shut_out_what_lies_beyond()
    {
        var pair = new DelayedPair(Window, MaxLag, seed: 7);
        pair.Fill(-14.7, 40);
        for (var n = 0; n < Window; n++)
            pair.Reference[n] += (float)(20 * Math.Sin(2.5 * n) + 20 * Math.Sin(0.1 * n));
        for (var n = 0; n < pair.Other.Length; n++)
            pair.Other[n] += (float)(20 * Math.Sin(2.5 * n + 1) + 20 * Math.Sin(0.1 * n + 1));
        // 2.5 and 0.1 rad a frame are 19,099 and 764 Hz at 48 kHz.
        var banded = new DelayEstimator(Options(0) with { LowHz = 2000, HighHz = 12_000 });
        Measured.AtLeast(1, Math.Abs(Best(Estimator(0), pair).LagFrames + 14.7), "error without limits");
        Measured.Within(-14.7, Best(banded, pair).LagFrames, 0.05, "lag with limits");

        var weighted = new DelayEstimator(Options(0) with { WeightAtHz = hz => hz is > 2000 and < 12_000 ? 1 : 0 });
        Measured.Within(-14.7, Best(weighted, pair).LagFrames, 0.05, "lag with a weight of one's own");
    }

    /// <summary>G = W·C ÷ |C|^β, written out for one bin after another.</summary>
    [Theory, InlineData(0), InlineData(0.5), InlineData(0.7), InlineData(1)]
    public void Weighted_cross_spectrum_is_its_formula(double exponent)
    {
        var random = new Random(8);
        float[] Some() => [.. Enumerable.Range(0, 65).Select(_ => (float)(random.NextDouble() - 0.5))];
        var (xRe, xIm, yRe, yIm, weights) = (Some(), Some(), Some(), Some(), Some());
        (xRe[3], xIm[3]) = (0, 0);
        var (gotRe, gotIm) = ((float[])yRe.Clone(), (float[])yIm.Clone());
        SpectralWeights.CrossSpectrum(xRe, xIm, gotRe, gotIm, weights, exponent);
        for (var k = 0; k < 64; k++)
        {
            var c = System.Numerics.Complex.Conjugate(new(xRe[k], xIm[k])) * new System.Numerics.Complex(yRe[k], yIm[k]);
            var wanted = c.Magnitude > 0 ? weights[k] * c / Math.Pow(c.Magnitude, exponent) : 0;
            // Single precision of the result.
            Measured.Within(wanted.Real, gotRe[k], 1e-7, $"real part of bin {k}");
            Measured.Within(wanted.Imaginary, gotIm[k], 1e-7, $"imaginary part of bin {k}");
        }
        Assert.Equal((0f, 0f), (gotRe[64], gotIm[64]));
    }

    /// <summary>e^(ikα) from the library for each k; tolerance: 128 turns of double rounding.</summary>
    [Theory, InlineData(0.0), InlineData(0.01), InlineData(-2.3)]
    public void Turning_vector_turns_true(double angle)
    {
        var turn = new TurningVector(angle);
        for (var k = 0; k < 20_000; k += System.Numerics.Vector<double>.Count)
        {
            var (re, im) = turn.Next();
            for (var lane = 0; lane < System.Numerics.Vector<double>.Count; lane++)
            {
                Measured.Within(Math.Cos(angle * (k + lane)), re[lane], 3e-11);
                Measured.Within(Math.Sin(angle * (k + lane)), im[lane], 3e-11);
            }
        }
    }

    [Theory, InlineData(16), InlineData(100), InlineData(1000)]
    public void Window_may_have_any_length(int window)
    {
        var pair = new DelayedPair(window, 5, seed: 9);
        pair.Fill(2.25, 80);
        var estimator = new DelayEstimator(Options(0) with { WindowFrames = window, MaxLagFrames = 5 });
        // The bound for 16 frames at 80 dB is 2e−5; the window's ends weigh more in so short a one.
        Measured.Within(2.25, Best(estimator, pair).LagFrames, 0.05);
    }

    [Fact]
    public void Used_estimator_gives_what_a_fresh_one_gives()
    {
        var (first, second) = (new DelayedPair(Window, MaxLag, seed: 1), new DelayedPair(Window, MaxLag, seed: 2));
        first.Fill(3.3, 10);
        second.Fill(-8.8, 10);
        var used = Estimator(0.5);
        Best(used, first);
        Assert.Equal(Best(Estimator(0.5), second), Best(used, second));
    }

    [Fact]
    public void Estimating_allocates_nothing()
    {
        var pair = new DelayedPair(Window, MaxLag, seed: 1);
        pair.Fill(3.3, 10);
        var (estimator, peaks) = (Estimator(0.5), new DelayPeak[4]);
        estimator.Estimate(pair.Reference, pair.Other, peaks);
        var before = GC.GetAllocatedBytesForCurrentThread();
        estimator.Estimate(pair.Reference, pair.Other, peaks);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    [Theory, InlineData(0f), InlineData(1f), InlineData(float.Epsilon), InlineData(1e-20f)]
    public void Silence_full_scale_and_denormals_stay_finite(float value)
    {
        var (reference, other, peaks) = (new float[Window], new float[Window + 2 * MaxLag], new DelayPeak[4]);
        reference.AsSpan().Fill(value);
        other.AsSpan().Fill(-value);
        foreach (var exponent in new[] { 0, 0.5, 1 })
        {
            var count = Estimator(exponent).Estimate(reference, other, peaks);
            foreach (var peak in peaks[..count])
                Assert.True(double.IsFinite(peak.LagFrames + peak.Rho + peak.Strength + peak.SigmaFrames), peak.ToString());
            if (value == 0)
                Assert.Equal(0, count);
        }
    }

    [Fact]
    public void What_cannot_be_compared_is_refused()
    {
        var estimator = Estimator(0);
        Assert.Throws<ArgumentException>(() => estimator.Estimate(new float[Window - 1], new float[Window + 2 * MaxLag], new DelayPeak[1]));
        Assert.Throws<ArgumentException>(() => estimator.Estimate(new float[Window], new float[Window], new DelayPeak[1]));
        Assert.Throws<ArgumentOutOfRangeException>(() => new DelayEstimator(Options(0) with { WindowFrames = 15 }));
        Assert.Throws<ArgumentOutOfRangeException>(() => new DelayEstimator(Options(0) with { MaxLagFrames = 0 }));
        Assert.Throws<ArgumentOutOfRangeException>(() => new DelayEstimator(Options(-1)));
        Assert.Throws<ArgumentOutOfRangeException>(() => new DelayEstimator(Options(0) with { SampleRateHz = 0 }));
    }

    private static DelayEstimatorOptions Options(double exponent) =>
        new()
        {
            SampleRateHz = 48_000,
            WindowFrames = Window,
            MaxLagFrames = MaxLag,
            WhiteningExponent = exponent,
        };

    private static DelayEstimator Estimator(double exponent) => new(Options(exponent));

    private static DelayPeak Best(DelayEstimator estimator, DelayedPair pair)
    {
        var peaks = new DelayPeak[1];
        Assert.Equal(1, estimator.Estimate(pair.Reference, pair.Other, peaks));
        return peaks[0];
    }
}
