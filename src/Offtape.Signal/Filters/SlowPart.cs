namespace Offtape.Signal;

/// <summary>
/// The slow part of a curve on an even grid: zero phase, flat to a corner and nothing from twice the corner on. A Kaiser-windowed sinc (J. F.
/// Kaiser, IEEE ISCAS 1974) centred between the two, its ripple below 0.5 %; at both ends the curve is turned about its end point and goes
/// on, so that level and slope stay.
/// </summary>
public static class SlowPart
{
    private const double StopbandDb = 46;

    /// <summary>Splits off the slow part.</summary>
    /// <param name="values">The curve, at least two points; best with its straight line taken out before.</param>
    /// <param name="stepSeconds">The grid's step.</param>
    /// <param name="cornerHz">Kept whole up to here; above 0.</param>
    /// <param name="slow">Receives the slow part, as many.</param>
    public static void Of(ReadOnlySpan<double> values, double stepSeconds, double cornerHz, Span<double> slow)
    {
        if (values.Length < 2 || slow.Length != values.Length)
            throw new ArgumentException("At least two points, and as many of both.", nameof(values));
        if (!(cornerHz > 0))
            throw new ArgumentOutOfRangeException(nameof(cornerHz), cornerHz, "Above 0 Hz.");
        var kernel = Kernel(stepSeconds, cornerHz);
        var half = kernel.Length / 2;
        var padded = new double[values.Length + 2 * half];
        for (var i = 0; i < padded.Length; i++)
            padded[i] = Turned(values, i - half);
        for (var i = 0; i < slow.Length; i++)
        {
            double sum = 0;
            for (var k = 0; k < kernel.Length; k++)
                sum += kernel[k] * padded[i + k];
            slow[i] = sum;
        }
    }

    /// <summary>Odd extension about both end points, as often as it takes.</summary>
    private static double Turned(ReadOnlySpan<double> values, long index)
    {
        var last = values.Length - 1;
        var offset = 0.0;
        var sign = 1.0;
        while (index < 0 || index > last)
        {
            var end = index < 0 ? 0 : last;
            offset += sign * 2 * values[end];
            sign = -sign;
            index = 2 * end - index;
        }
        return offset + sign * values[(int)index];
    }

    private static double[] Kernel(double stepSeconds, double cornerHz)
    {
        // Kaiser's formulas: order from attenuation and width of the transition, beta from attenuation.
        var width = 2 * Math.PI * cornerHz * stepSeconds;
        var half = (int)Math.Max(1, Math.Ceiling((StopbandDb - 7.95) / (2.285 * width) / 2));
        var beta = 0.5842 * Math.Pow(StopbandDb - 21, 0.4) + 0.07886 * (StopbandDb - 21);
        var window = new double[2 * half + 1];
        Windows.Kaiser(window, beta, WindowForm.Symmetric);
        var kernel = new double[window.Length];
        var sum = 0.0;
        for (var k = 0; k < kernel.Length; k++)
        {
            var x = 2 * Math.PI * 1.5 * cornerHz * stepSeconds * (k - half);
            kernel[k] = window[k] * (x == 0 ? 1 : Math.Sin(x) / x);
            sum += kernel[k];
        }
        for (var k = 0; k < kernel.Length; k++)
            kernel[k] /= sum;
        return kernel;
    }
}
