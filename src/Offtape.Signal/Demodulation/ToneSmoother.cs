namespace Offtape.Signal;

/// <summary>The filter behind the demodulator: keeps what is as slow as flutter, and as long as what it is given.</summary>
internal static class ToneSmoother
{
    /// <summary>Frequency from steps of phase; the loss of a step against a true derivative, sin(x)/x, is made good.</summary>
    internal static double[] OfSteps(double[] steps, ToneBand band)
    {
        // 1/sinc(x) = 1 + x²/6 + …, with x² = −(second difference)/4: exact to 0.01 % at a twelfth of the rate.
        var whole = new double[steps.Length];
        for (var i = 0; i < steps.Length; i++)
        {
            var (before, behind) = (steps[Math.Max(0, i - 1)], steps[Math.Min(steps.Length - 1, i + 1)]);
            whole[i] = steps[i] - (before - 2 * steps[i] + behind) / 24;
        }
        return Of(whole, band);
    }

    internal static double[] Of(double[] values, ToneBand band)
    {
        var taps = band.After;
        var half = taps.Length / 2;
        // Held at both ends at a short mean: the very last value is mostly noise.
        var padded = new double[values.Length + 2 * half];
        values.CopyTo(padded, half);
        var few = Math.Min(values.Length, half / 2 + 1);
        Array.Fill(padded, Mean(values.AsSpan(0, few)), 0, half);
        Array.Fill(padded, Mean(values.AsSpan(values.Length - few)), half + values.Length, half);
        var smooth = new double[values.Length];
        for (var i = 0; i < smooth.Length; i++)
            smooth[i] = DotProduct.Of(padded.AsSpan(i, taps.Length), taps);
        return smooth;
    }

    private static double Mean(ReadOnlySpan<double> values)
    {
        var sum = 0.0;
        foreach (var value in values)
            sum += value;
        return sum / values.Length;
    }
}
