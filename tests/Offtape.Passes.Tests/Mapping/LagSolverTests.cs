using Offtape.Passes.Mapping;
using Offtape.Signal;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Mapping;

/// <summary>
/// Checks sweep and solver together on sounds whose delay is known by formula, and their stated deviation against the Cramér–Rao bound of a
/// known signal in white noise: σ² ≥ σₙ²/Σ(ds/dt)² (S. M. Kay, Fundamentals of Statistical Signal Processing: Estimation Theory, 1993,
/// equation 3.14).
/// </summary>
public sealed class LagSolverTests
{
    private const double Rate = LagBench.RateHz;

    /// <summary>Passes of a first-order step, each along the map of the one before: what is left after three is noise.</summary>
    [Theory]
    [InlineData(0, 0, 0)]
    [InlineData(37e-6, 0, 0)]
    [InlineData(-45e-6, 0, 0)]
    [InlineData(20e-6, 15e-6, 1.3)]
    public void A_delay_by_formula_is_found_to_a_microsecond(double constant, double depth, double hertz)
    {
        double Delay(double t) => constant + depth * Math.Sin(2 * Math.PI * hertz * t);
        var sound = new SumOfPartials(1, 120, 150, 6000);
        const int frames = 40 * 1024;
        var source = sound.Sampled(frames, Rate);
        var hiss = 0.003 * Math.Sqrt(source.Average(x => (double)x * x));
        var bench = new LagBench(source, hiss);
        for (ulong pass = 0; pass < 3; pass++)
        {
            // The capture holds s(t − delay); along the map it is read at t + present.
            var map = new EvenSpline([.. bench.Present]);
            var along = sound.Sampled(frames, Rate, t => t + map.At(t * Rate / bench.Sweep.HopFrames) - Delay(t));
            LagBench.AddNoise(along, 5, hiss);
            bench.Solve(along);
            bench.Solver.Lag.CopyTo(bench.Present, 0);
        }
        var errors = bench.Inner.Select(k => bench.Solver.Lag[k] - Delay(bench.SecondsOf(k))).ToArray();
        Measured.AtMost(1e-6, errors.Max(Math.Abs), "worst error, s");
        Measured.AtMost(0.4e-6, Math.Sqrt(errors.Average(e => e * e)), "rms error, s");
    }

    /// <summary>
    /// No delay at all, noise as strong as the sound, 24 takes of two seconds, which know a deviation to 15 %. The mean lag of a take is an
    /// estimate of a constant: within three times that of the bound, and half as much again for bands that chance makes look disturbed. Stated:
    /// never below the bound, and up to twice the error at each moment, since the evidence of a frame counts for half of what white noise alone
    /// would allow and is never scaled up to more than 1/0.7 of that.
    /// </summary>
    [Fact]
    public void Error_and_stated_deviation_are_near_the_Cramer_Rao_bound()
    {
        const int takes = 24;
        double means = 0,
            bounds = 0,
            errors = 0,
            stated = 0;
        var least = double.PositiveInfinity;
        for (ulong take = 0; take < takes; take++)
        {
            var source = LagBench.BandNoise(100 + take, 48 * 1024, 300, 7000);
            var hiss = Math.Sqrt(source.Average(x => (double)x * x));
            var bench = new LagBench(source, hiss);
            var capture = (float[])source.Clone();
            LagBench.AddNoise(capture, 200 + take, hiss);
            bench.Solve(capture);
            var bound = hiss * hiss / bench.Shaped.Slope.Sum(d => (double)d * d);
            bounds += bound;
            means += Math.Pow(bench.Inner.Average(k => bench.Solver.Lag[k]), 2);
            errors += bench.Inner.Average(k => bench.Solver.Lag[k] * bench.Solver.Lag[k]);
            stated += bench.Inner.Average(k => bench.Solver.Sigma[k] * bench.Solver.Sigma[k]);
            least = Math.Min(least, bench.Inner.Min(k => bench.Solver.Sigma[k]) / Math.Sqrt(bound));
        }
        var all = $"mean {Math.Sqrt(means / bounds)}, error {Math.Sqrt(errors / bounds)}, stated {Math.Sqrt(stated / bounds)} bounds";
        Measured.AtLeast(0.55, Math.Sqrt(means / bounds), $"error of the mean against the bound ({all})");
        Measured.AtMost(1.5, Math.Sqrt(means / bounds), $"error of the mean against the bound ({all})");
        Measured.AtLeast(0.85, Math.Sqrt(stated / errors), $"stated against true deviation ({all})");
        Measured.AtMost(2, Math.Sqrt(stated / errors), $"stated against true deviation ({all})");
        Measured.AtLeast(1, least, $"least stated against the bound ({all})");
    }

    /// <summary>A band that holds another sound for half a second is heard less, and the lag of those frames does not follow it.</summary>
    [Fact]
    public void A_disturbed_band_counts_less()
    {
        var source = LagBench.BandNoise(7, 40 * 1024, 200, 7000);
        var bench = new LagBench(source, 0.03);
        var stranger = LagBench.BandNoise(8, source.Length, 900, 1100);
        var capture = (float[])source.Clone();
        LagBench.AddNoise(capture, 9, 0.03);
        for (var i = 16_000; i < 28_000; i++)
            capture[i] += 8 * stranger[i];
        bench.Solve(capture);
        var band = bench.Bands.BandOf((int)(1000 / bench.Sweep.BinHz));
        Measured.AtLeast(20, bench.Excess[(int)(22_000 / (double)bench.Sweep.HopFrames), band], "noise of the disturbed band");
        Measured.AtMost(3, bench.Excess[6, band], "noise of the same band before");
        Measured.AtMost(2e-6, bench.Inner.Max(k => Math.Abs(bench.Solver.Lag[k])), "worst lag, s");
    }

    /// <summary>
    /// A note from 600 to 850 Hz that the tape overdrives: whatever stands in the band of its third harmonic, where the source holds next to nothing,
    /// the note is in time and its frames go on to say so. Levels of the harmonic in steps of 3 dB, since evidence against the hiss decides.
    /// </summary>
    [Fact]
    public void Harmonics_of_an_overdriven_note_silence_no_frame()
    {
        var source = LagBench.BandNoise(51, 16 * 1024, 600, 850);
        var harmonics = LagBench.BandNoise(52, source.Length, 1900, 2500);
        for (var db = -60; db <= 0; db += 3)
        {
            var bench = new LagBench(source, 0.003);
            var capture = source.Select((x, i) => x + (float)Math.Pow(10, db / 20.0) * harmonics[i]).ToArray();
            LagBench.AddNoise(capture, 53, 0.003);
            bench.Solve(capture, isInTime: true);
            foreach (var k in bench.Inner)
                Assert.True(bench.Solver.Information[k] > 0, $"frame {k} says nothing with harmonics {-db} dB under the note");
        }
    }

    /// <summary>
    /// Short strokes of treble, one of them heard 190 µs late, more than a period of it: a first-order step would say "in time" there. It has
    /// to say nothing; strokes that are in time go on to say all they know.
    /// </summary>
    [Fact]
    public void A_frame_a_period_away_says_nothing_of_its_lag()
    {
        const int late = 24;
        var noise = LagBench.BandNoise(31, 48 * 1024, 5000, 9000);
        var (source, capture) = (new float[noise.Length], new float[noise.Length]);
        for (var stroke = 4; stroke < 44; stroke += 4)
        {
            for (var i = 0; i < 700; i++)
                source[stroke * 1024 + i] = noise[stroke * 1024 + i] * (float)Math.Exp(-i / 200.0);
        }
        const double lateSeconds = 190e-6;
        var shifted = new float[source.Length];
        Retimer.RenderFixed(source, 0, -lateSeconds * Rate, 1, shifted);
        for (var i = 0; i < source.Length; i++)
            capture[i] = Math.Abs(i - late * 1024 - 400) < 1000 ? shifted[i] : source[i];
        LagBench.AddNoise(capture, 32, 0.01);
        var bench = new LagBench(source, 0.01);
        bench.Solve(capture, isInTime: true);
        var k = late * 1024 / bench.Sweep.HopFrames + 1;
        Assert.Equal(0, bench.Solver.Information[k]);
        var inTime = bench.Inner.Where(i => bench.Solver.Information[i] > 0).ToList();
        Assert.True(inTime.Count(i => bench.Solver.Information[i] > 1e12) >= 9, "each of the other strokes is known to a microsecond");
        Measured.AtMost(10e-6, inTime.Max(i => Math.Abs(bench.Solver.Lag[i])), "worst lag of the others, s");
    }

    [Theory, InlineData(0), InlineData(1), InlineData(1e-42)]
    public void Lag_is_finite_for_silence_full_scale_and_denormals(double level)
    {
        var source = Enumerable.Range(0, 8192).Select(i => (float)(i % 3 == 0 ? level : -level)).ToArray();
        var bench = new LagBench(source, 1e-6);
        bench.Solve(source);
        Assert.All(bench.Solver.Lag, x => Assert.True(double.IsFinite(x)));
        Assert.All(bench.Solver.Sigma, x => Assert.True(double.IsFinite(x) && x > 0));
    }

    /// <summary>Scratch is kept from frame to frame: a sweep after another must be as a fresh one, and allocate nothing.</summary>
    [Fact]
    public void A_sweep_used_again_is_as_new_and_allocates_nothing()
    {
        var (first, second) = (LagBench.BandNoise(1, 20_000, 100, 9000), LagBench.BandNoise(2, 20_000, 100, 9000));
        var (used, fresh) = (new LagBench(first, 0.1), new LagBench(first, 0.1));
        used.Sweep.Run(used.Shaped, second, used.Bands, used.Noise, used.Sums);
        var before = GC.GetAllocatedBytesForCurrentThread();
        used.Sweep.Run(used.Shaped, first, used.Bands, used.Noise, used.Sums);
        Assert.Equal(before, GC.GetAllocatedBytesForCurrentThread());
        fresh.Sweep.Run(fresh.Shaped, first, fresh.Bands, fresh.Noise, fresh.Sums);
        for (var k = 0; k < used.FrameCount; k++)
        {
            for (var b = 0; b < used.Bands.Count; b++)
                Assert.Equal(fresh.Sums.Of(k, b).ToArray(), used.Sums.Of(k, b).ToArray());
        }
    }

    /// <summary>Every sum by its definition, bin by bin in double precision, for one frame; tolerance: single precision.</summary>
    [Fact]
    public void Sums_are_their_definitions()
    {
        var source = LagBench.BandNoise(3, 6000, 100, 9000);
        var capture = LagBench.BandNoise(4, 6000, 100, 9000);
        var bench = new LagBench(source, 0.1);
        bench.Sweep.Run(bench.Shaped, capture, bench.Bands, bench.Noise, bench.Sums);
        const int frame = 5;
        var (x, y) = (Spectrum(bench.Shaped.Sound), Spectrum(capture));
        var (d, third) = (Spectrum(bench.Shaped.Slope), Spectrum(bench.Shaped.Cube));
        var square = Spectrum(bench.Shaped.Square);
        for (var b = 0; b < bench.Bands.Count; b++)
        {
            double power = 0,
                cross = 0,
                slope = 0;
            for (var k = bench.Bands.Starts[b]; k < bench.Bands.Starts[b + 1]; k++)
            {
                double Power(int j) => x[j].Magnitude * x[j].Magnitude;
                var noise =
                    bench.Noise.HissPower[k]
                    + bench.Noise.Error[k] * (Power(k - 1) + Power(k) + Power(k + 1)) / 3
                    + bench.Noise.SquareShare * Math.Pow(square[k].Magnitude, 2)
                    + bench.Noise.CubeShare * Math.Pow(third[k].Magnitude, 2);
                power += Power(k) / noise;
                cross += (System.Numerics.Complex.Conjugate(x[k]) * y[k]).Real / noise;
                slope += (System.Numerics.Complex.Conjugate(d[k]) * y[k]).Real / noise;
            }
            var sums = bench.Sums.Of(frame, b);
            Measured.Within(1, sums[(int)BandSum.SourcePower] / power, 1e-4, $"power of band {b}");
            Measured.Within(0, (sums[(int)BandSum.SourceCapture] - cross) / power, 1e-4, $"cross-power of band {b}");
            var size = Math.Sqrt(sums[(int)BandSum.SlopePower] * sums[(int)BandSum.CapturePower]);
            Measured.Within(0, (sums[(int)BandSum.SlopeCapture] - slope) / size, 1e-4, $"slope times capture of band {b}");
        }

        System.Numerics.Complex[] Spectrum(float[] signal)
        {
            var (length, start) = (bench.Sweep.WindowFrames, frame * bench.Sweep.HopFrames - bench.Sweep.WindowFrames / 2);
            var spectrum = new System.Numerics.Complex[length / 2 + 1];
            for (var k = 0; k < spectrum.Length; k++)
            {
                for (var i = 0; i < length; i++)
                    spectrum[k] +=
                        signal[start + i]
                        * (0.5 - 0.5 * Math.Cos(2 * Math.PI * i / length))
                        * System.Numerics.Complex.FromPolarCoordinates(1, -2 * Math.PI * ((long)k * i % length) / length);
            }
            return spectrum;
        }
    }
}
