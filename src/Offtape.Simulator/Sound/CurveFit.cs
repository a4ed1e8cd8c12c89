namespace Offtape.Simulator;

/// <summary>
/// Finds how hard a curve has to be driven so that operating level comes out at operating level, and the third harmonic is 3 % where the
/// output stands the stated number of decibels over it.
/// </summary>
internal static class CurveFit
{
    private const double ThirdHarmonicAtMaximum = 0.03;
    private const int CycleSamples = 1024;

    /// <param name="maximumOutputLevelDb">Output at 3 % third harmonic against operating level, above 0.</param>
    /// <param name="make">A fresh curve with a drive in front and a gain behind it.</param>
    internal static (double Drive, double Gain) Solve<TCurve>(double maximumOutputLevelDb, Func<double, double, TCurve> make)
        where TCurve : struct, ITapeCurve
    {
        if (!(maximumOutputLevelDb > 0))
            throw new ArgumentOutOfRangeException(
                nameof(maximumOutputLevelDb),
                maximumOutputLevelDb,
                "The maximum output level is above 0 dB."
            );
        var atMaximum = Bisect(0.02, 20, x => Harmonics(make(x, 1), 1).Third - ThirdHarmonicAtMaximum);
        var output = Harmonics(make(atMaximum, 1), 1).First;
        var wanted = output / Math.Pow(10, maximumOutputLevelDb / 20);
        var drive = Bisect(1e-6, atMaximum, x => Harmonics(make(x, 1), 1).First - wanted);
        return (drive, 1 / Harmonics(make(drive, 1), 1).First);
    }

    /// <summary>Amplitude of the fundamental, and the third harmonic against it, of a settled sine.</summary>
    internal static (double First, double Third) Harmonics<TCurve>(TCurve curve, double amplitude)
        where TCurve : struct, ITapeCurve
    {
        var (c1, s1, c3, s3) = (0.0, 0.0, 0.0, 0.0);
        // Two cycles to close the loop of a curve with memory, one to measure.
        for (var i = -2 * CycleSamples; i < CycleSamples; i++)
        {
            var phase = 2 * Math.PI * i / CycleSamples;
            var value = curve.Next(amplitude * Math.Sin(phase));
            if (i < 0)
                continue;
            c1 += value * Math.Cos(phase);
            s1 += value * Math.Sin(phase);
            c3 += value * Math.Cos(3 * phase);
            s3 += value * Math.Sin(3 * phase);
        }
        var first = double.Hypot(c1, s1) * 2 / CycleSamples;
        return (first, double.Hypot(c3, s3) * 2 / CycleSamples / first);
    }

    private static double Bisect(double low, double high, Func<double, double> rising)
    {
        for (var i = 0; i < 60; i++)
        {
            var middle = Math.Sqrt(low * high);
            if (rising(middle) > 0)
                high = middle;
            else
                low = middle;
        }
        return Math.Sqrt(low * high);
    }
}
