namespace Offtape.Signal;

/// <summary>
/// A cascade run forwards, then backwards over a whole signal: no phase shift, twice the decibels. For signals that are all in memory
/// (speed curves, envelopes), not for audio that streams.
/// </summary>
public static class ZeroPhase
{
    /// <summary>
    /// Filters in place. Each end is continued by its point reflection (2·end − signal), so that a constant or a ramp comes out as it
    /// went in.
    /// </summary>
    /// <param name="sections">The cascade; its response is applied twice.</param>
    /// <param name="signal">The signal, replaced by the result.</param>
    /// <param name="paddingFrames">How far the ends are continued; several times the filter's decay. Clipped to the signal's length − 1.</param>
    public static void Apply(ReadOnlySpan<BiquadCoefficients> sections, Span<double> signal, int paddingFrames)
    {
        if (signal.IsEmpty)
            return;
        ArgumentOutOfRangeException.ThrowIfNegative(paddingFrames);
        var padding = Math.Min(paddingFrames, signal.Length - 1);
        var padded = new double[signal.Length + 2 * padding];
        signal.CopyTo(padded.AsSpan(padding));
        for (var i = 1; i <= padding; i++)
        {
            padded[padding - i] = 2 * signal[0] - signal[i];
            padded[padding + signal.Length - 1 + i] = 2 * signal[^1] - signal[^(i + 1)];
        }
        for (var direction = 0; direction < 2; direction++)
        {
            foreach (var section in sections)
                RunFromSteadyState(section, padded);
            Array.Reverse(padded);
        }
        padded.AsSpan(padding, signal.Length).CopyTo(signal);
    }

    // Starts as if the first value had stood there for ever: no start-up transient of the filter's own.
    private static void RunFromSteadyState(BiquadCoefficients section, double[] signal)
    {
        var (b0, b1, b2, a1, a2) = section;
        var gain = (b0 + b1 + b2) / (1 + a1 + a2);
        var state1 = (gain - b0) * signal[0];
        var state2 = (b2 - a2 * gain) * signal[0];
        for (var i = 0; i < signal.Length; i++)
        {
            var x = signal[i];
            var y = b0 * x + state1;
            state1 = b1 * x - a1 * y + state2;
            state2 = b2 * x - a2 * y;
            signal[i] = y;
        }
    }
}
