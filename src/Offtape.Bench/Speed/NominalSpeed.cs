namespace Offtape.Bench;

/// <summary>How well a tape's speed is known by its name alone.</summary>
internal static class NominalSpeed
{
    /// <summary>
    /// Expanded uncertainty, as a share of the speed: ±1.5 % (DIN 45 500 sheet 4), evenly likely all over, of which 95 of 100 lie within 0.95 of it
    /// (JCGM 100:2008, 4.3.7 and annex G.1.3).
    /// </summary>
    internal const double ExpandedShare = 0.95 * 0.015;
}
