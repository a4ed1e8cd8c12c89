using System.Numerics;
using Offtape.Base;

namespace Offtape.Signal;

/// <summary>
/// The weighting network of ITU-R BS.468-4 (figure 1a, the same as IEC 60268-1, appendix A): one zero at 0 Hz and six poles, as the rational
/// form in common use has them. It stays within 0.06 dB of the Recommendation's Table 1, whose tolerances are ±0.2 to ±2.8 dB. 0 dB at 1 kHz.
/// </summary>
public static class Bs468Weighting
{
    // Of the denominator, by rising powers of f: even ones make h1, odd ones h2, with the signs of powers of j.
    private static ReadOnlySpan<double> Denominator =>
        [
            1,
            5.559488023498642e-4,
            1.363894795463638e-7,
            2.118150887518656e-11,
            2.043828333606125e-15,
            1.306612257412824e-19,
            4.737338981378384e-24,
        ];

    // The slowest pole falls to a millionth within 0.75 ms. What the end of the band cuts off rings before the response, too.
    private const double TailSeconds = 0.001;
    private const double RingSeconds = 0.00025;

    /// <summary>Gain in dB at a frequency from 0 up; −∞ at 0 Hz.</summary>
    public static double GainDbAt(double frequencyHz) => Conversions.AmplitudeToDb(ResponseAt(frequencyHz).Magnitude);

    /// <summary>The complex response of the network.</summary>
    public static Complex ResponseAt(double frequencyHz) => Raw(frequencyHz) / Raw(1000).Magnitude;

    /// <summary>
    /// The network's impulse response at a sample rate, band-limited to half of it. A bilinear design would bend the curve down where it is
    /// steepest; this one keeps it to the end of the band.
    /// </summary>
    /// <param name="sampleRateHz">The sample rate.</param>
    /// <param name="latencyFrames">Where the network's time zero stands in the response.</param>
    public static double[] ImpulseResponse(double sampleRateHz, out int latencyFrames)
    {
        latencyFrames = (int)Math.Ceiling(RingSeconds * sampleRateHz);
        var taps = new double[latencyFrames + (int)Math.Ceiling(TailSeconds * sampleRateHz)];
        // The inverse transform of the sampled response, term by term; long enough that what wraps round is nothing.
        var length = 8 * taps.Length;
        for (var k = 1; k <= length / 2; k++)
        {
            var response = ResponseAt(k * sampleRateHz / length) * (2 * k == length ? 1 : 2);
            for (var n = 0; n < taps.Length; n++)
            {
                var turn = 2 * Math.PI * ((long)k * (n - latencyFrames) % length) / length;
                taps[n] += (response.Real * Math.Cos(turn) - response.Imaginary * Math.Sin(turn)) / length;
            }
        }
        // A raised cosine over the first taps, where the ringing is cut.
        for (var n = 0; n < latencyFrames; n++)
            taps[n] *= 0.5 - 0.5 * Math.Cos(Math.PI * (n + 0.5) / latencyFrames);
        return taps;
    }

    private static Complex Raw(double frequencyHz)
    {
        var s = new Complex(0, frequencyHz);
        Complex sum = 0;
        for (var k = Denominator.Length - 1; k >= 0; k--)
            sum = sum * s + Denominator[k];
        return s / sum;
    }
}
