using Offtape.Base;

namespace Offtape.Bench;

/// <summary>
/// The tones of a multitone part: primes a little closer than thirds of an octave (a ratio of 1.2316, the one between 1.21 and 1.28 whose
/// powers stay farthest from 2, 3, 4 and 5), so that no tone lies within 0.9 % of the second to fifth harmonic of another.
/// </summary>
public static class MultitoneDesign
{
    /// <summary>All of them are whole hertz: their sum repeats every second.</summary>
    public const double PeriodSeconds = 1;

    // csharpier-ignore
    private static ReadOnlySpan<int> AllTonesHz =>
        [
            29, 37, 43, 53, 67, 83, 107, 127, 157, 191, 233, 293, 359, 439, 541, 661, 821, 1009, 1249, 1531, 1889, 2333, 2861, 3517,
            4337, 5347, 6577, 8101, 9973, 12289, 15137,
        ];

    // Radians, as sines, for a low peak of the sum: found by descending the p-norm of one second of it, p growing from 8 to 58, from starts
    // by chance (P. Guillaume, J. Schoukens, R. Pintelon and I. Kollár, IEEE Trans. Instrum. Meas. 40(6), 1991, from memory); rounded.
    // csharpier-ignore
    private static ReadOnlySpan<double> AllPhasesRadians =>
        [
            2.52, 5.74, 2.55, 0.34, 5.17, 4.85, 4.83, 4.67, 0.04, 3.36, 5.85, 1.58, 3.22, 4.89, 6.28, 4.33, 3.97, 1.60, 0.44, 2.99,
            2.97, 3.23, 2.76, 5.96, 0.94, 4.88, 2.41, 0.17, 4.39, 3.00, 0.12,
        ];

    /// <summary>The tones that fit under a frequency, with their phases.</summary>
    public static (double[] TonesHz, double[] PhasesRadians) Under(double highestHz)
    {
        var count = 0;
        while (count < AllTonesHz.Length && AllTonesHz[count] <= highestHz)
            count++;
        var tones = new double[count];
        for (var i = 0; i < count; i++)
            tones[i] = AllTonesHz[i];
        return (tones, AllPhasesRadians[..count].ToArray());
    }

    /// <summary>Peak of the sum of sines of peak 1 against one of them, in dB, rounded to a hundredth.</summary>
    public static double PeakOverToneDb(IReadOnlyList<double> tonesHz, IReadOnlyList<double> phasesRadians)
    {
        // Six points to the shortest period keep what lies between them within 1 % or so for the few tones up there.
        var count = (int)(6 * tonesHz[^1] * PeriodSeconds);
        var sum = new double[count];
        for (var k = 0; k < tonesHz.Count; k++)
        {
            // A turning pointer: after the some 90 000 turns of a second it is off by 1e-11.
            var (sinStep, cosStep) = Math.SinCos(2 * Math.PI * tonesHz[k] * PeriodSeconds / count);
            var (sin, cos) = Math.SinCos(phasesRadians[k]);
            for (var i = 0; i < count; i++)
            {
                sum[i] += sin;
                (sin, cos) = (sin * cosStep + cos * sinStep, cos * cosStep - sin * sinStep);
            }
        }
        return Math.Round(Conversions.AmplitudeToDb(sum.Max(Math.Abs)), 2);
    }
}
