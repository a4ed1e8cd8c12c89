using System.Numerics;
using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>
/// Checks the deconvolution of synchronised sweeps with the test published for it (Novak, Lotton and Simon, JAES 63(10), 2015, as worked in
/// open implementations: y = x + 0.25·x² + 0.125·x³, 16 Hz to 16 kHz, 10 s, 96 kHz, coefficients within 0.01), against filters whose response
/// is a formula, and against closed forms of the harmonics of a polynomial.
/// </summary>
public sealed class SweepDeconvolverTests
{
    [Fact]
    public void The_published_polynomial_is_recovered()
    {
        const int rate = 96_000;
        var sweep = new SynchronisedSweep(16, 16_000, 10);
        var sent = Sent(sweep, rate);
        var received = new float[sent.Length + rate];
        for (var i = 0; i < sent.Length; i++)
            received[i + 1000] = (float)(sent[i] + 0.25 * Math.Pow(sent[i], 2) + 0.125 * Math.Pow(sent[i], 3));
        var spectrum = new SweepDeconvolver(sweep, sent, rate, received.Length).Deconvolve(received, 1000);

        foreach (var inputHz in new[] { 60.0, 200, 1000, 3000 })
        {
            var harmonics = new Complex[3];
            for (var n = 1; n <= 3; n++)
                harmonics[n - 1] = spectrum.Harmonic(n, n * inputHz, Math.Max(spectrum.NarrowestHz(n), 0.05 * n * inputHz));
            var found = SinePolynomial.Coefficients(harmonics, 1);
            Measured.Within(1, found[0], 0.01, $"a1 at {inputHz} Hz");
            Measured.Within(0.25, found[1], 0.01, $"a2 at {inputHz} Hz");
            Measured.Within(0.125, found[2], 0.01, $"a3 at {inputHz} Hz");
        }
    }

    /// <summary>Tolerance 0.05 dB, and half of it for what single precision and the window's width leave of a smooth filter.</summary>
    [Theory, InlineData(44_100), InlineData(48_000), InlineData(96_000)]
    public void Response_of_a_known_filter_is_its_formula(int rate)
    {
        var sweep = new SynchronisedSweep(20, Math.Min(20_000, 0.45 * rate), 6);
        var sent = Sent(sweep, rate);
        var received = new float[sent.Length + rate];
        BiquadCoefficients[] sections =
        [
            .. FilterDesign.ButterworthHighPass(2, 35, rate),
            FilterDesign.Peaking(70, 3, 1.2, rate),
            .. FilterDesign.ButterworthLowPass(2, 9000, rate),
        ];
        sent.CopyTo(received, 0);
        new FilterCascade(sections).Process(received, received);
        var spectrum = new SweepDeconvolver(sweep, sent, rate, received.Length).Deconvolve(received, 0);
        for (var hz = 25.0; hz < 0.9 * sweep.EndHz; hz *= 1.1)
        {
            var wanted = new FilterCascade(sections).ResponseAt(hz, rate);
            var got = spectrum.Harmonic(1, hz, Math.Max(spectrum.NarrowestHz(1), 0.04 * hz));
            Measured.Within(0, 20 * Math.Log10(got.Magnitude / wanted.Magnitude), 0.05, $"level at {hz:0} Hz");
            // Phase: 0.05 dB is 0.6 % of an amplitude, and so 0.006 rad.
            Measured.Within(0, (got / wanted).Phase, 0.006, $"phase at {hz:0} Hz");
        }
    }

    /// <summary>
    /// A weak harmonic beside a strong fundamental: 0.05 %, within 0.1 dB from 60 Hz on.
    /// </summary>
    [Fact]
    public void Weak_harmonics_are_read_within_a_tenth_of_a_decibel()
    {
        const int rate = 48_000;
        var sweep = new SynchronisedSweep(20, 20_000, 6);
        var sent = Sent(sweep, rate);
        var received = new float[sent.Length + rate];
        double[] coefficients = [1, 0.001, 0.002, 0, 0.008];
        for (var i = 0; i < sent.Length; i++)
        {
            for (var k = 0; k < 5; k++)
                received[i] += (float)(coefficients[k] * Math.Pow(sent[i], k + 1));
        }
        var wanted = SinePolynomial.Harmonics(coefficients, 1);
        var spectrum = new SweepDeconvolver(sweep, sent, rate, received.Length).Deconvolve(received, 0);
        foreach (var inputHz in new[] { 60.0, 150, 315, 1000, 3000 })
        {
            foreach (var n in new[] { 2, 3, 5 })
            {
                var got = spectrum.Harmonic(n, n * inputHz, Math.Max(spectrum.NarrowestHz(n), 0.05 * n * inputHz));
                Measured.Within(0, 20 * Math.Log10((got / wanted[n - 1]).Magnitude), 0.1, $"harmonic {n} of {inputHz} Hz in dB");
            }
        }
    }

    [Theory, InlineData(0.0123, 1), InlineData(-0.02, -1)]
    public void Arrival_is_found_whichever_way_up(double lateSeconds, int polarity)
    {
        const int rate = 48_000;
        var sweep = new SynchronisedSweep(20, 20_000, 2);
        var sent = Sent(sweep, rate);
        var received = new float[sent.Length + rate];
        var late = (int)Math.Round(lateSeconds * rate);
        for (var i = 0; i < sent.Length; i++)
            received[i + 4800 + late] = polarity * 0.3f * sent[i];
        var deconvolver = new SweepDeconvolver(sweep, sent, rate, received.Length);
        var found = deconvolver.FindArrival(deconvolver.Deconvolve(received, 4800), 0.05, 200, 6000);
        Measured.Within(late / (double)rate, found, 0.5 / rate);
    }

    /// <summary>sin² = ½ − ½·cos 2φ; sin³ = ¾·sin φ − ¼·sin 3φ; sin⁵ = ⅝·sin φ − 5/16·sin 3φ + 1/16·sin 5φ: any table of integrals.</summary>
    [Fact]
    public void Powers_of_a_sine_are_those_of_the_tables()
    {
        var square = SinePolynomial.Harmonics([0, 1], 2);
        Measured.Within(0, (square[1] - new Complex(0, -2)).Magnitude, 1e-12);
        var cube = SinePolynomial.Harmonics([0, 0, 1], 1);
        Measured.Within(0, (cube[0] - 0.75).Magnitude + (cube[2] + 0.25).Magnitude, 1e-12);
        var fifth = SinePolynomial.Harmonics([0, 0, 0, 0, 1], 1);
        Measured.Within(0, (fifth[0] - 0.625).Magnitude + (fifth[2] + 5 / 16.0).Magnitude + (fifth[4] - 1 / 16.0).Magnitude, 1e-12);
        var back = SinePolynomial.Coefficients(SinePolynomial.Harmonics([0.9, 0.02, -0.1, 0.004, 0.03], 1.7), 1.7);
        double[] wanted = [0.9, 0.02, -0.1, 0.004, 0.03];
        for (var i = 0; i < 5; i++)
            Measured.Within(wanted[i], back[i], 1e-12);
    }

    [Fact]
    public void Silence_gives_nothing_and_stays_finite()
    {
        var sweep = new SynchronisedSweep(20, 20_000, 2);
        var sent = Sent(sweep, 48_000);
        var spectrum = new SweepDeconvolver(sweep, sent, 48_000, sent.Length).Deconvolve(new float[sent.Length], 0);
        Assert.Equal(Complex.Zero, spectrum.Harmonic(1, 1000, 50));
        Assert.Equal(Complex.Zero, spectrum.Harmonic(2, 30_000, 50));
    }

    private static float[] Sent(SynchronisedSweep sweep, int rate)
    {
        var sent = new float[(int)Math.Ceiling(sweep.DurationSeconds * rate)];
        sweep.Synthesise(rate, 0, sent);
        // Ends as a check signal has them, so that nothing clicks.
        var (fadeIn, fadeOut) = (rate / 50, rate / 200);
        for (var i = 0; i < fadeIn; i++)
            sent[i] *= (float)(0.5 - 0.5 * Math.Cos(Math.PI * i / fadeIn));
        for (var i = 0; i < fadeOut; i++)
            sent[^(i + 1)] *= (float)(0.5 - 0.5 * Math.Cos(Math.PI * i / fadeOut));
        return sent;
    }
}
