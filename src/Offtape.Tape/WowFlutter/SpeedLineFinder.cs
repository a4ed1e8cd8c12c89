namespace Offtape.Tape;

/// <summary>Finds the lines of a spectrum of speed: what turns evenly, and stands out of what wobbles at random.</summary>
public static class SpeedLineFinder
{
    // Of noise, one bin in 65 000 stands sixteen times above the middle one (the power of a bin is exponentially distributed).
    private const double LeastAboveFloor = 16;

    // What leaks from a strong line through the window's side lobes, and from its own unsteadiness.
    private const double LeakHzPerLobe = 4;
    private const double LeakShare = 0.0025;

    /// <summary>The lines, strongest first.</summary>
    /// <param name="spectrum">Of a curve of speed in per cent.</param>
    /// <param name="highestHz">Upper end of the curve's band.</param>
    /// <param name="most">No more than this many.</param>
    public static IReadOnlyList<SpeedLine> Find(WobbleSpectrum spectrum, double highestHz, int most)
    {
        var lobe = Math.Max(1, (int)Math.Round(spectrum.LobeHz / spectrum.BinHz));
        var first = Math.Max(lobe, (int)Math.Ceiling(1.5 * spectrum.LobeHz / spectrum.BinHz));
        var last = Math.Min(spectrum.BinCount - 1 - lobe, (int)(highestHz / spectrum.BinHz));
        var lines = new List<SpeedLine>();
        for (var k = first; k <= last; k++)
        {
            if (!IsTop(spectrum, k, lobe))
                continue;
            var floor = spectrum.FloorAt(k * spectrum.BinHz);
            if (spectrum[k] > LeastAboveFloor * floor && spectrum[k] > 0)
                lines.Add(Line(spectrum, k, lobe, floor));
        }
        var ordered = lines.OrderByDescending(l => l.PeakPercent).ToList();
        var kept = new List<SpeedLine>();
        foreach (var line in ordered)
            if (kept.Count < most && !kept.Exists(k => Leaks(k, line, spectrum.LobeHz)))
                kept.Add(line);
        return kept;
    }

    private static bool IsTop(WobbleSpectrum spectrum, int bin, int lobe)
    {
        for (var k = bin - lobe; k <= bin + lobe; k++)
            if (spectrum[k] > spectrum[bin])
                return false;
        return true;
    }

    private static SpeedLine Line(WobbleSpectrum spectrum, int bin, int lobe, double floor)
    {
        var (power, moment) = (0.0, 0.0);
        // The mean of an exponential distribution is its middle value over ln 2.
        var mean = floor / Math.Log(2);
        for (var k = bin - lobe; k <= bin + lobe; k++)
        {
            power += spectrum[k] - mean;
            moment += spectrum[k] * (k - bin);
        }
        var total = power + mean * (2 * lobe + 1);
        return new((bin + moment / total) * spectrum.BinHz, Math.Sqrt(2 * Math.Max(power, 0)), Math.Sqrt(2 * mean * (2 * lobe + 1)));
    }

    private static bool Leaks(SpeedLine strong, SpeedLine weak, double lobeHz) =>
        Math.Abs(strong.FrequencyHz - weak.FrequencyHz) < Math.Max(LeakHzPerLobe * lobeHz, 0.02 * strong.FrequencyHz)
        && weak.PeakPercent * weak.PeakPercent < LeakShare * strong.PeakPercent * strong.PeakPercent;
}
