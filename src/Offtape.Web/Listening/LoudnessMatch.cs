namespace Offtape.Web.Listening;

/// <summary>
/// Gains by which the variants of a sound are equally loud: each is brought to the loudness of the first, and all are then turned down
/// together as far as it takes for none to clip.
/// </summary>
internal static class LoudnessMatch
{
    /// <summary>Gains in dB, by variant. A silent variant keeps its level.</summary>
    /// <param name="levels">The first is the one that the others follow.</param>
    public static Dictionary<string, double> Gains(IReadOnlyList<(string Variant, HeardLevel Level)> levels)
    {
        var gains = new Dictionary<string, double>();
        var reference = levels.Select(l => l.Level.LoudnessLufs).FirstOrDefault(double.IsFinite, 0);
        var over = 0.0;
        foreach (var (variant, level) in levels)
        {
            var gain = double.IsFinite(level.LoudnessLufs) ? reference - level.LoudnessLufs : 0;
            gains[variant] = gain;
            if (double.IsFinite(level.TruePeakDbtp))
                over = Math.Max(over, level.TruePeakDbtp + gain);
        }
        return gains.ToDictionary(g => g.Key, g => g.Value - over);
    }
}
