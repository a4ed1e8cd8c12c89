using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>Follows a long steady tone by its phase: how the tape wandered between the edges of a part.</summary>
internal static class ToneFollower
{
    private const double HopSeconds = 0.01;
    private const double KnotSeconds = 0.25;

    // From the edge of the part: past its fade, and past what the edge itself may be off.
    private const double ClearSeconds = 0.15;

    // Fainter than this against its usual strength, the phase is not looked at: a dropout.
    private const double FaintShare = 0.25;

    /// <param name="channel">The channel that carries it best.</param>
    /// <param name="sampleRateHz">Of the capture.</param>
    /// <param name="part">A part of one steady tone.</param>
    /// <param name="clock">Where it is expected.</param>
    /// <param name="edges">Places that were timed; those of this part say where the curve lies as a whole.</param>
    internal static IEnumerable<(double Send, double Capture)> Follow(
        float[] channel,
        int sampleRateHz,
        BenchPart part,
        TimeMap clock,
        IReadOnlyList<(double Send, double Capture)> edges
    )
    {
        var (start, end) = (part.StartSeconds, part.StartSeconds + part.LengthSeconds);
        var own = edges.Where(e => e.Send == start || e.Send == end).ToArray();
        if (own.Length == 0)
            return [];
        var from = clock.CaptureAt(start + ClearSeconds);
        var to = clock.CaptureAt(end - ClearSeconds);
        if (from < HopSeconds || to > (double)channel.Length / sampleRateHz - HopSeconds)
            return [];
        var frequencyHz = part.FrequencyHz!.Value;
        var expectedHz = frequencyHz * (end - start) / (clock.CaptureAt(end) - clock.CaptureAt(start));
        var cycles = Cycles(channel, sampleRateHz, from, (int)((to - from) / HopSeconds) + 1, expectedHz);

        // Send seconds since the first place; then moved as a whole to where the edges are.
        double SendAt(double captureSeconds)
        {
            var place = (captureSeconds - from) / HopSeconds;
            var k = (int)Math.Clamp(Math.Floor(place), 0, cycles.Length - 2);
            return (cycles[k] + (place - k) * (cycles[k + 1] - cycles[k])) / frequencyHz;
        }

        var offset = own.Average(e => e.Send - SendAt(e.Capture));
        return Enumerable
            .Range(0, (int)((cycles.Length - 1) * HopSeconds / KnotSeconds) + 1)
            .Select(i => from + i * KnotSeconds)
            .Select(t => (offset + SendAt(t), t));
    }

    // Cycles of the tone since the first place, at every hop: counted at the expected frequency, corrected by the phase of each piece.
    private static double[] Cycles(float[] channel, int sampleRateHz, double fromSeconds, int count, double expectedHz)
    {
        var half = (int)(HopSeconds * sampleRateHz);
        var phase = new double[count];
        var strength = new double[count];
        var (sinStep, cosStep) = Math.SinCos(-2 * Math.PI * expectedHz / sampleRateHz);
        for (var k = 0; k < count; k++)
        {
            var middle = (int)Math.Round((fromSeconds + k * HopSeconds) * sampleRateHz);
            var first = middle - half;
            var turns = expectedHz * first / sampleRateHz;
            var (sin, cos) = Math.SinCos(-2 * Math.PI * (turns - Math.Floor(turns)));
            double re = 0;
            double im = 0;
            for (var i = Math.Max(0, first); i <= middle + half && i < channel.Length; i++)
            {
                var weight = channel[i] * (1 - Math.Abs(i - middle) / (half + 1.0));
                (re, im) = (re + weight * cos, im + weight * sin);
                (sin, cos) = (sin * cosStep + cos * sinStep, cos * cosStep - sin * sinStep);
            }
            phase[k] = Math.Atan2(im, re) / (2 * Math.PI);
            strength[k] = re * re + im * im;
        }
        // The upper quarter: half of an erasure stretch is recorded over.
        var sorted = strength.Order().ToArray();
        var faint = FaintShare * FaintShare * sorted[count * 3 / 4];
        var cycles = new double[count];
        var (last, turnsSoFar) = (phase[0], 0.0);
        for (var k = 1; k < count; k++)
        {
            if (strength[k] >= faint)
            {
                var step = phase[k] - last;
                turnsSoFar += step - Math.Round(step);
                last = phase[k];
            }
            cycles[k] = expectedHz * k * HopSeconds + turnsSoFar;
        }
        return cycles;
    }
}
