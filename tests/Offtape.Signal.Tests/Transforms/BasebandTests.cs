using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>The band about a tone against the tone's own formula.</summary>
public sealed class BasebandTests
{
    private const int RateHz = 48_000;

    /// <summary>An envelope slower than the band comes out as it went in. Near the ends the cut tone rings; 50 ms are passed over.</summary>
    [Theory]
    [InlineData(3150, 7)]
    [InlineData(1000, 40)]
    public void An_envelope_within_the_band_is_kept(double carrierHz, double envelopeHz)
    {
        double Envelope(double t) => 0.3 * (1 + 0.4 * Math.Cos(2 * Math.PI * envelopeHz * t));
        var signal = new float[96_000];
        for (var i = 0; i < signal.Length; i++)
        {
            var t = (double)i / RateHz;
            signal[i] = (float)(Envelope(t) * Math.Sin(2 * Math.PI * carrierHz * t));
        }
        var band = Baseband.Of(signal, RateHz, carrierHz + 1.3, 300);
        var magnitude = band.Magnitude();
        Measured.Within(2, band.Count / band.RateHz, 0.01);
        for (var k = (int)(0.05 * band.RateHz); k < 1.95 * band.RateHz; k++)
            // What the cut ends still ring after 50 ms: 1/(π·300 Hz·50 ms)² of the tone at most.
            Measured.Within(Envelope(k / band.RateHz), magnitude[k], 0.42 * 4.5e-4, $"at {k / band.RateHz:0.000} s");
    }

    /// <summary>A tone beside the band is not heard, one within turns at its distance from the centre.</summary>
    [Fact]
    public void A_tone_turns_at_its_distance_from_the_centre_and_another_outside_is_gone()
    {
        var signal = new float[65_536];
        for (var i = 0; i < signal.Length; i++)
            signal[i] = (float)(0.1 * Math.Cos(2 * Math.PI * 1020 * i / RateHz + 0.4) + 0.9 * Math.Sin(2 * Math.PI * 2000 * i / RateHz));
        var band = Baseband.Of(signal, RateHz, 1000, 100);
        var k = band.Count / 2;
        var wanted = 2 * Math.PI * (1020 - band.CentreHz) * k / band.RateHz + 0.4;
        Measured.Within(0.1 * Math.Cos(wanted), band.Re[k], 2e-4);
        Measured.Within(0.1 * Math.Sin(wanted), band.Im[k], 2e-4);
    }
}
