using Offtape.Testing;

namespace Offtape.Tape.Tests;

/// <summary>The table of coefficients against its own definition, worked out slowly, and against the spectrum it stands for.</summary>
public sealed class StripeShapeTests
{
    private const int RateHz = 24_000;

    private static double WantedAmplitude(double hertz) =>
        hertz <= 0 ? 0 : Math.Pow(hertz / 1000, -0.125) * Edge(hertz, 200, 300) * (1 - Edge(hertz, 9000, 9600));

    private static double Edge(double hertz, double from, double to) =>
        hertz <= from ? 0
        : hertz >= to ? 1
        : 0.5 - 0.5 * Math.Cos(Math.PI * (hertz - from) / (to - from));

    /// <summary>Within 1 unit: the published numbers are rounded, and cosines may differ in their last bit.</summary>
    [Fact]
    public void The_coefficients_are_those_of_the_formula()
    {
        for (var k = 0; k <= 255; k++)
        {
            double h = 0;
            for (var hertz = 1; hertz < RateHz / 2; hertz++)
                h += 2 * WantedAmplitude(hertz) * Math.Cos(2 * Math.PI * k * hertz / RateHz);
            h /= RateHz;
            var window = 0.5 + 0.5 * Math.Cos(Math.PI * k / 256);
            Measured.Within(Math.Round(16_777_216 * h * window), StripeShape.Coefficients[k], 1, $"coefficient {k}");
        }
    }

    /// <summary>
    /// Band limits and slope. The window of 511 frames smears each edge by up to 94 Hz (two bins of 24 000/512); away from the edges the
    /// response is the wanted one to a tenth of a decibel.
    /// </summary>
    [Fact]
    public void The_response_falls_by_an_eighth_power_between_300_Hz_and_9_kHz()
    {
        foreach (var hertz in new[] { 500, 1000, 2000, 4000, 8000 })
            Measured.Within(20 * Math.Log10(WantedAmplitude(hertz)), ResponseDb(hertz), 0.1, $"{hertz} Hz");
        Measured.Within(20 * Math.Log10(WantedAmplitude(300)), ResponseDb(300), 1.2, "300 Hz");
        Measured.Within(20 * Math.Log10(WantedAmplitude(9000)), ResponseDb(9000), 1.2, "9 kHz");
        foreach (var hertz in new[] { 20, 50, 100 })
            Measured.AtMost(-60, ResponseDb(hertz), $"{hertz} Hz");
        foreach (var hertz in new[] { 9_700, 10_000, 11_900 })
            Measured.AtMost(-60, ResponseDb(hertz), $"{hertz} Hz");
    }

    [Fact]
    public void The_stated_rms_is_that_of_uniform_noise_through_the_coefficients()
    {
        double squares = (double)StripeShape.Coefficients[0] * StripeShape.Coefficients[0];
        for (var k = 1; k <= 255; k++)
            squares += 2.0 * StripeShape.Coefficients[k] * StripeShape.Coefficients[k];
        Measured.Within(1, 65_536 / Math.Sqrt(12) * Math.Sqrt(squares) / StripeShape.FilteredRms, 1e-9, "RMS ÷ stated RMS");
    }

    private static double ResponseDb(double hertz)
    {
        double sum = StripeShape.Coefficients[0];
        for (var k = 1; k <= 255; k++)
            sum += 2 * StripeShape.Coefficients[k] * Math.Cos(2 * Math.PI * k * hertz / RateHz);
        return 20 * Math.Log10(Math.Abs(sum) / StripeShape.One);
    }
}
