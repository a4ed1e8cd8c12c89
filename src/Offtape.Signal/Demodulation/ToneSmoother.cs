namespace Offtape.Signal;

/// <summary>
/// The filter behind the demodulator: keeps what is as slow as flutter. Only values whose filter is wholly on the curve come out: as many
/// fewer as its taps, less one.
/// </summary>
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
        var smooth = new double[values.Length - band.After.Length + 1];
        for (var i = 0; i < smooth.Length; i++)
            smooth[i] = DotProduct.Of(values.AsSpan(i, band.After.Length), band.After);
        return smooth;
    }
}
