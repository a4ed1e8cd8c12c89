using System.Numerics;
using Offtape.Testing;

namespace Offtape.Signal.Tests.Filters;

/// <summary>
/// Designs against the analogue responses they come from: a bilinear filter has at f exactly the analogue response at
/// tan(π·f/rate)/tan(π·corner/rate) corners. The tolerance, 1e-9 of a linear gain, is the rounding of double arithmetic where poles
/// crowd together.
/// </summary>
public sealed class FilterDesignTests
{
    private const double Tolerance = 1e-9;

    /// <summary>|H|² = 1/(1 + Ω^(2·order)), the definition of a Butterworth filter.</summary>
    [Theory]
    [InlineData(1, 1000, 48_000)]
    [InlineData(2, 20, 48_000)]
    [InlineData(3, 12_000, 44_100)]
    [InlineData(4, 300, 96_000)]
    [InlineData(5, 6000, 48_000)]
    [InlineData(8, 1000, 8_000)]
    [InlineData(13, 5000, 48_000)]
    public void A_Butterworth_cascade_has_the_response_of_its_definition(int order, double cutoffHz, double rateHz)
    {
        var low = new FilterCascade(FilterDesign.ButterworthLowPass(order, cutoffHz, rateHz));
        var high = new FilterCascade(FilterDesign.ButterworthHighPass(order, cutoffHz, rateHz));
        foreach (var (hz, corners) in Frequencies(cutoffHz, rateHz))
        {
            var power = Math.Pow(corners, 2 * order);
            Measured.Within(Math.Sqrt(1 / (1 + power)), low.ResponseAt(hz, rateHz).Magnitude, Tolerance, $"low-pass at {hz:F1} Hz");
            Measured.Within(Math.Sqrt(power / (1 + power)), high.ResponseAt(hz, rateHz).Magnitude, Tolerance, $"high-pass at {hz:F1} Hz");
        }
        Measured.Within(-3.0103, 20 * Math.Log10(low.ResponseAt(cutoffHz, rateHz).Magnitude), 1e-4, "dB at the cut-off");
    }

    /// <summary>(s² + s·√g/Q + 1)/(s² + s/(√g·Q) + 1), worked out with complex numbers.</summary>
    [Theory]
    [InlineData(1000, 6, 0.7, 48_000)]
    [InlineData(60, -18, 5, 44_100)]
    [InlineData(15_000, 12, 1, 48_000)]
    public void A_peaking_section_has_its_analogue_response(double centreHz, double gainDb, double q, double rateHz)
    {
        var boost = FilterDesign.Peaking(centreHz, gainDb, q, rateHz);
        var cut = FilterDesign.Peaking(centreHz, -gainDb, q, rateHz);
        var root = Math.Pow(10, gainDb / 40);
        foreach (var (hz, corners) in Frequencies(centreHz, rateHz))
        {
            var s = new Complex(0, corners);
            AssertResponse((s * s + s * root / q + 1) / (s * s + s / (root * q) + 1), boost, hz, rateHz);
            Measured.Within(1, (boost.ResponseAt(hz, rateHz) * cut.ResponseAt(hz, rateHz)).Real, Tolerance, "boost times cut");
        }
        Measured.Within(gainDb, GainDb(boost, centreHz, rateHz), 1e-9, "dB at the centre");
    }

    [Theory]
    [InlineData(200, 9, 48_000)]
    [InlineData(8000, -12, 44_100)]
    [InlineData(3183.1, 4.5, 96_000)]
    public void Shelves_reach_their_gain_at_the_ends_and_half_of_it_at_the_corner(double cornerHz, double gainDb, double rateHz)
    {
        var low = FilterDesign.LowShelf(cornerHz, gainDb, rateHz);
        var high = FilterDesign.HighShelf(cornerHz, gainDb, rateHz);
        var first = FilterDesign.FirstOrderShelf(cornerHz, gainDb, -1, rateHz);
        var nyquistHz = rateHz / 2;
        Measured.Within(gainDb, GainDb(low, 0, rateHz), 1e-9, "low shelf, dB at 0 Hz");
        Measured.Within(0, GainDb(low, nyquistHz, rateHz), 1e-9, "low shelf, dB at Nyquist");
        Measured.Within(gainDb / 2, GainDb(low, cornerHz, rateHz), 1e-9, "low shelf, dB at the corner");
        Measured.Within(0, GainDb(high, 0, rateHz), 1e-9, "high shelf, dB at 0 Hz");
        Measured.Within(gainDb, GainDb(high, nyquistHz, rateHz), 1e-9, "high shelf, dB at Nyquist");
        Measured.Within(gainDb / 2, GainDb(high, cornerHz, rateHz), 1e-9, "high shelf, dB at the corner");
        Measured.Within(gainDb, GainDb(first, 0, rateHz), 1e-9, "first order, dB at 0 Hz");
        Measured.Within(-1, GainDb(first, nyquistHz, rateHz), 1e-9, "first order, dB at Nyquist");
        Measured.Within((gainDb - 1) / 2, GainDb(first, cornerHz, rateHz), 1e-9, "first order, dB at the corner");
        // A Butterworth Q rises or falls all the way, as it does in analogue.
        foreach (var shelf in (BiquadCoefficients[])[low, high, first])
            AssertMonotonic(shelf, rateHz);
    }

    [Fact]
    public void A_shelf_with_a_higher_Q_is_not_monotonic() =>
        Assert.ThrowsAny<Exception>(() => AssertMonotonic(FilterDesign.LowShelf(1000, 9, 48_000, 1.5), 48_000));

    /// <summary>(s/Q)/(s² + s/Q + 1) and (s² + 1)/(s² + s/Q + 1).</summary>
    [Theory]
    [InlineData(1000, 1, 48_000)]
    [InlineData(3150, 20, 44_100)]
    [InlineData(50, 0.5, 8_000)]
    public void Band_pass_and_notch_have_their_analogue_responses(double centreHz, double q, double rateHz)
    {
        var pass = FilterDesign.BandPass(centreHz, q, rateHz);
        var notch = FilterDesign.Notch(centreHz, q, rateHz);
        foreach (var (hz, corners) in Frequencies(centreHz, rateHz))
        {
            var s = new Complex(0, corners);
            AssertResponse(s / q / (s * s + s / q + 1), pass, hz, rateHz);
            AssertResponse((s * s + 1) / (s * s + s / q + 1), notch, hz, rateHz);
        }
        Measured.Within(1, pass.ResponseAt(centreHz, rateHz).Magnitude, Tolerance, "gain at the centre");
        Measured.AtMost(Tolerance, notch.ResponseAt(centreHz, rateHz).Magnitude, "what a notch leaves at its centre");
    }

    /// <summary>1/(1 + j·f/corner) and its complement: a first-order section of a time constant.</summary>
    [Theory]
    [InlineData(50.05, 48_000)]
    [InlineData(3183.1, 48_000)]
    [InlineData(20_000, 44_100)]
    public void First_order_sections_have_their_analogue_responses(double cornerHz, double rateHz)
    {
        foreach (var (hz, corners) in Frequencies(cornerHz, rateHz))
        {
            var s = new Complex(0, corners);
            AssertResponse(1 / (1 + s), FilterDesign.FirstOrderLowPass(cornerHz, rateHz), hz, rateHz);
            AssertResponse(s / (1 + s), FilterDesign.FirstOrderHighPass(cornerHz, rateHz), hz, rateHz);
        }
        Assert.Equal(0, FilterDesign.FirstOrderLowPass(cornerHz, rateHz).A2);
    }

    [Fact]
    public void Every_design_is_stable()
    {
        for (var order = 1; order <= 20; order++)
            foreach (var cutoffHz in (double[])[1, 100, 10_000, 23_000])
                Assert.All(
                    FilterDesign
                        .ButterworthLowPass(order, cutoffHz, 48_000)
                        .Concat(FilterDesign.ButterworthHighPass(order, cutoffHz, 48_000)),
                    section => Assert.True(section.IsStable)
                );
        Assert.False(new BiquadCoefficients(1, 0, 0, -2.01, 1.02).IsStable);
        Assert.False(new BiquadCoefficients(1, 0, 0, 0, 1).IsStable);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(-1)]
    [InlineData(24_000)]
    [InlineData(double.NaN)]
    public void A_corner_outside_the_band_is_refused(double cornerHz)
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => FilterDesign.ButterworthLowPass(2, cornerHz, 48_000));
        Assert.Throws<ArgumentOutOfRangeException>(() => FilterDesign.Peaking(cornerHz, 3, 1, 48_000));
    }

    [Fact]
    public void An_order_or_Q_that_is_none_is_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => FilterDesign.ButterworthLowPass(0, 100, 48_000));
        Assert.Throws<ArgumentOutOfRangeException>(() => FilterDesign.BandPass(100, 0, 48_000));
        Assert.Throws<ArgumentOutOfRangeException>(() => FilterDesign.Peaking(100, 3, double.NaN, 48_000));
    }

    // From far below the corner to just under Nyquist: the frequency, and where the bilinear transform takes it, in corners.
    private static IEnumerable<(double Hz, double Corners)> Frequencies(double cornerHz, double rateHz)
    {
        for (var hz = 1.0; hz < 0.499 * rateHz; hz *= 1.07)
            yield return (hz, Math.Tan(Math.PI * hz / rateHz) / Math.Tan(Math.PI * cornerHz / rateHz));
    }

    private static void AssertResponse(Complex wanted, BiquadCoefficients section, double hz, double rateHz) =>
        Measured.AtMost(
            Tolerance,
            (section.ResponseAt(hz, rateHz) - wanted).Magnitude,
            $"distance from the analogue response at {hz:F1} Hz"
        );

    private static void AssertMonotonic(BiquadCoefficients shelf, double rateHz)
    {
        var rises = GainDb(shelf, rateHz / 2, rateHz) > GainDb(shelf, 0, rateHz) ? 1 : -1;
        var before = GainDb(shelf, 0, rateHz);
        for (var hz = 1.0; hz < rateHz / 2; hz *= 1.02)
        {
            var here = GainDb(shelf, hz, rateHz);
            Measured.AtLeast(-1e-9, rises * (here - before), $"change in dB at {hz:F0} Hz");
            before = here;
        }
    }

    private static double GainDb(BiquadCoefficients section, double hz, double rateHz) =>
        20 * Math.Log10(section.ResponseAt(hz, rateHz).Magnitude);
}
