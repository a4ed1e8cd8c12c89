namespace Offtape.Passes.Mapping;

/// <summary>
/// Finds frames in which the lower bands say together that the map is off by more than a first-order step can see in the upper ones. There a
/// faint upper band, in which the capture is mere hiss, says "no lag" as firmly as one that is in time, and a few of them hold a wrong map
/// against what loud low bands say. The two readings are compared by how well all bands fit them, each band by the logarithm of what it leaves
/// (noise of unknown level), so that no single band decides.
/// </summary>
internal static class BandVote
{
    // A quarter of a period: as far as a band's first-order step reaches.
    private const double Reach = 0.25;

    // The other reading must be e¹⁰ times as likely, and its lag clear of chance.
    private const double Margin = 10;
    private const double ClearSigmas = 4;
    private const double LeastGain = 0.1;
    private const double MostGain = 1.5;

    /// <summary>The first band that is not in time with the lower ones; the count of bands where all are, or nothing is clear.</summary>
    /// <param name="sums">Along the present map.</param>
    /// <param name="bands">Their bands.</param>
    /// <param name="binHz">Width of a bin.</param>
    /// <param name="frame">The frame.</param>
    /// <param name="gain">Of the frame against the response, as far as it is known.</param>
    internal static int FirstLost(FrameSums sums, BandPlan bands, double binHz, int frame, double gain)
    {
        var g = Math.Clamp(gain, LeastGain, MostGain);
        var (best, bestCost) = (bands.Count, Cost(sums, bands, frame, g, 0, bands.Count) - Margin);
        double xd = 0,
            dd = 0,
            yd = 0;
        for (var b = 0; b < bands.Count - 1; b++)
        {
            var s = sums.Of(frame, b);
            (xd, dd, yd) = (xd + s[(int)BandSum.SlopeSource], dd + s[(int)BandSum.SlopePower], yd + s[(int)BandSum.SlopeCapture]);
            if (dd <= 0)
                continue;
            var lag = (g * xd - yd) / (dd * g);
            var reach = Reach / (bands.Starts[b + 1] * binHz);
            if (Math.Abs(lag) > reach || lag * lag * g * g * dd < ClearSigmas * ClearSigmas)
                continue;
            // Bands that reach as far as the lag take part in it; those above are lost.
            var lost = b + 1;
            while (lost < bands.Count && Math.Abs(lag) <= Reach / (bands.Starts[lost] * binHz))
                lost++;
            if (lost >= bands.Count)
                continue;
            var cost = Cost(sums, bands, frame, g, lag, lost);
            if (cost < bestCost)
                (best, bestCost) = (lost, cost);
        }
        return best;
    }

    /// <summary>Σ n·ln(1 + left/n) over the bands of n bins; a lost band leaves source and capture alike.</summary>
    private static double Cost(FrameSums sums, BandPlan bands, int frame, double gain, double lag, int lost)
    {
        var cost = 0.0;
        for (var b = 0; b < bands.Count; b++)
        {
            var s = sums.Of(frame, b);
            var left =
                b < lost ? LagSolver.Residual(s, gain, lag) : s[(int)BandSum.CapturePower] + gain * gain * s[(int)BandSum.SourcePower];
            var bins = Math.Max(1, bands.BinsIn(b));
            cost += bins * Math.Log(1 + Math.Max(0, left) / bins);
        }
        return cost;
    }
}
