using System.Numerics;
using Offtape.Passes.Mapping;
using Offtape.Signal;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Mapping;

/// <summary>Checks what is learned of a machine, response and curve, against filters and polynomials known in closed form.</summary>
public sealed class MachineTests
{
    private const double Rate = LagBench.RateHz;

    /// <summary>
    /// A bell, as R. Bristow-Johnson's "Cookbook formulae for audio EQ biquad filter coefficients" gives it. Means over an eighth of an
    /// octave flatten a bell of quality 0.7 by the curvature there, up to 3 % of gain and 0.03 rad; twenty seconds of noise add 0.5 %.
    /// </summary>
    [Theory]
    [InlineData(90, 6)]
    [InlineData(70, -5)]
    [InlineData(250, 4)]
    public void Response_of_a_known_filter_is_learned_in_gain_and_phase(double centreHz, double gainDb)
    {
        const double quality = 0.7;
        var (amplitude, turn) = (Math.Pow(10, gainDb / 40), 2 * Math.PI * centreHz / Rate);
        var alpha = Math.Sin(turn) / (2 * quality);
        double[] b = [1 + alpha * amplitude, -2 * Math.Cos(turn), 1 - alpha * amplitude];
        double[] a = [1 + alpha / amplitude, -2 * Math.Cos(turn), 1 - alpha / amplitude];
        var source = LagBench.BandNoise(11, 20 * 24_000, 35, 10_000);
        var capture = new float[source.Length];
        new Biquad(b[0] / a[0], b[1] / a[0], b[2] / a[0], a[1] / a[0], a[2] / a[0]).Process(source, capture);
        LagBench.AddNoise(capture, 12, 0.003);
        float[] hiss = [.. Enumerable.Repeat(9e-6f, MapSection.LongWindowFrames / 2 + 1)];
        var evidence = ResponseEvidence.Measure(source, capture, hiss, 10_500);
        const int bins = 4097;
        var (re, im) = MachineResponse.Of(evidence, evidence, 10_500, isBroad: true).Sampled(bins, Rate);
        var delay = MidDelay(At);
        for (var hertz = 50.0; hertz < 6000; hertz *= 1.1)
        {
            var k = (int)Math.Round(hertz * 2 * (bins - 1) / Rate);
            var got = new Complex(re[k], im[k]);
            var exact = k * Rate / (2.0 * (bins - 1));
            var wanted = At(exact) * Complex.FromPolarCoordinates(1, 2 * Math.PI * exact * delay);
            Measured.Within(1, got.Magnitude / wanted.Magnitude, 0.035, $"gain at {exact:0} Hz");
            Measured.Within(0, (got / wanted).Phase, 0.035, $"phase at {exact:0} Hz");
        }

        Complex At(double hertz)
        {
            var z = Complex.FromPolarCoordinates(1, -2 * Math.PI * hertz / Rate);
            return (b[0] + b[1] * z + b[2] * z * z) / (a[0] + a[1] * z + a[2] * z * z);
        }
    }

    /// <summary>
    /// Evidence by formula: nearly all of it at one low note, where the response falls by 6 dB an octave (a first-order high-pass far below its
    /// corner). A mean over an eighth of an octave, each bin by its evidence, is flat across the note. Asked: the slope to a fifth.
    /// </summary>
    [Fact]
    public void A_loud_note_does_not_flatten_the_slope_it_stands_on()
    {
        var count = (int)(Rate / 2 / ResponseEvidence.BinHz) + 1;
        var (power, cross) = (new double[count], new double[count]);
        for (var k = 1; k < count; k++)
        {
            var hertz = k * ResponseEvidence.BinHz;
            power[k] = 1e7 * Math.Exp(-0.5 * Math.Pow((hertz - 100) / 6, 2)) + 300;
            cross[k] = power[k] * Wanted(hertz);
        }
        var evidence = new ResponseEvidence(power, cross, new double[count]);
        const int bins = 4097;
        var (re, im) = MachineResponse.Of(evidence, evidence, 10_500).Sampled(bins, Rate);
        var got = 20 * Math.Log10(Gain(108) / Gain(92));
        var wanted = 20 * Math.Log10(Wanted(108) / Wanted(92));
        Measured.Within(1, got / wanted, 0.2, $"slope from 92 to 108 Hz ({got:0.00} dB for {wanted:0.00} dB)");

        double Gain(double hertz) => new Complex(re[Bin(hertz)], im[Bin(hertz)]).Magnitude;
        static int Bin(double hertz) => (int)Math.Round(hertz * 2 * (bins - 1) / Rate);
        static double Wanted(double hertz) => hertz / 100;
    }

    /// <summary>The slope of a response's phase from 1 to 4 kHz, every hertz alike, as a delay.</summary>
    private static double MidDelay(Func<double, Complex> response)
    {
        double n = 0,
            sumF = 0,
            sumP = 0,
            sumFf = 0,
            sumFp = 0;
        for (var hertz = 1000.0; hertz <= 4000; hertz += 5)
        {
            var phase = response(hertz).Phase;
            (n, sumF, sumP, sumFf, sumFp) = (n + 1, sumF + hertz, sumP + phase, sumFf + hertz * hertz, sumFp + hertz * phase);
        }
        return -(sumFp - sumF * sumP / n) / (sumFf - sumF * sumF / n) / (2 * Math.PI);
    }

    /// <summary>A delay alone is the map's business: nothing of it may stay in the response, whether the take is broad or low.</summary>
    [Theory, InlineData(true), InlineData(false)]
    public void A_plain_delay_is_left_to_the_map(bool isBroad)
    {
        var sound = new SumOfPartials(13, 100, 60, 6000);
        var source = sound.Sampled(5 * 24_000, Rate);
        var capture = sound.Sampled(5 * 24_000, Rate, t => t - 20e-6);
        float[] hiss = [.. Enumerable.Repeat(1e-8f, MapSection.LongWindowFrames / 2 + 1)];
        var evidence = ResponseEvidence.Measure(source, capture, hiss, 10_500);
        var (re, im) = MachineResponse.Of(evidence, evidence, 10_500, isBroad).Sampled(1025, Rate);
        for (var k = 6; k < 400; k++)
            // 20 µs at 4 kHz are half a radian.
            Measured.Within(0, Math.Atan2(im[k], re[k]), 0.02, $"phase at {k * Rate / 2048:0} Hz");
    }

    /// <summary>The polynomial that bent the capture, from knowing nothing: three passes, as many as the early ones.</summary>
    [Theory]
    [InlineData(0.02, -0.15)]
    [InlineData(-0.03, 0.1)]
    [InlineData(0, 0)]
    public void A_known_curve_is_found(double square, double cube)
    {
        var source = new SumOfPartials(14, 12, 100, 1500).Sampled(4 * 24_000, Rate);
        var capture = source.Select(x => (float)(x + square * x * x + cube * x * x * x)).ToArray();
        LagBench.AddNoise(capture, 15, 1e-3);
        var curve = new TapeCurve();
        for (var pass = 0; pass < 3; pass++)
        {
            var bench = new LagBench(source, 1e-3, curve);
            if (pass > 0)
                bench.Noise.Know(curve);
            bench.Solve(capture);
            curve = CurveFit.Refit(curve, bench.Sums, bench.Bands, bench.Excess, bench.Solver, bench.Present);
        }
        // What the gain of a frame may take for itself (3/4 of a cube is the tone again) is a tenth of the cube at most.
        Measured.Within(square, curve.Square, 0.002, "square");
        Measured.Within(cube, curve.Cube, 0.01, "cube");
    }
}
