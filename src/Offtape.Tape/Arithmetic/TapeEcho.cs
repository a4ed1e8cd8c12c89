using Offtape.Base;

namespace Offtape.Tape;

/// <summary>An echo that a machine with separate heads can do.</summary>
/// <param name="DistanceMm">Between the record head and the replay head that is used.</param>
/// <param name="Speed">The nominal speed.</param>
/// <param name="PitchPercent">Where the pitch control stands, above 0 fast; 0 where none is needed, or there is none.</param>
/// <param name="Seconds">How late the echo is.</param>
/// <param name="WantedSeconds">How late it was to be.</param>
public sealed record EchoSetting(double DistanceMm, TapeSpeed Speed, double PitchPercent, double Seconds, double WantedSeconds)
{
    /// <summary>Above 0 the echo is late.</summary>
    public double ErrorSeconds => Seconds - WantedSeconds;

    /// <summary>A tempo at which the echo would be exact, from the one it was wanted at.</summary>
    public double ExactTempoBpm(double tempoBpm) => tempoBpm * WantedSeconds / Seconds;
}

/// <summary>
/// Echo by the distance of two heads: delay = distance ÷ speed (arithmetic). A pitch control of ±p per cent shortens and lengthens it by as
/// much: delay = distance ÷ (speed · (1 + p ÷ 100)).
/// </summary>
public static class TapeEcho
{
    // What comes nearer than this by another speed or head is no reason to leave the one whose pitch control stands nearer to the middle.
    private const double SameSeconds = 1e-9;

    /// <summary>The setting that comes nearest to a delay; among equally near ones that with the smallest move of the pitch control.</summary>
    /// <param name="seconds">The delay that is wanted.</param>
    /// <param name="distancesMm">From the record head to each replay head; at least one.</param>
    /// <param name="speeds">The machine's speeds; at least one.</param>
    /// <param name="pitchRangePercent">How far the pitch control goes each way; 0 where there is none.</param>
    public static EchoSetting Nearest(
        double seconds,
        IReadOnlyList<double> distancesMm,
        IReadOnlyList<TapeSpeed> speeds,
        double pitchRangePercent
    )
    {
        EchoSetting? best = null;
        foreach (var distance in distancesMm)
        foreach (var speed in speeds)
        {
            var needed = Conversions.RatioToPercent(HeadGap.DelaySeconds(distance, speed) / seconds);
            var pitch = Math.Clamp(needed, -pitchRangePercent, pitchRangePercent);
            var delay = HeadGap.DelaySeconds(distance, speed) / Conversions.PercentToRatio(pitch);
            var setting = new EchoSetting(distance, speed, pitch, delay, seconds);
            if (best is null || IsBetter(setting, best))
                best = setting;
        }
        return best ?? throw new ArgumentException("An echo needs a distance of heads and a speed.");
    }

    private static bool IsBetter(EchoSetting one, EchoSetting other)
    {
        var (a, b) = (Math.Abs(one.ErrorSeconds), Math.Abs(other.ErrorSeconds));
        return Math.Abs(a - b) > SameSeconds ? a < b : Math.Abs(one.PitchPercent) < Math.Abs(other.PitchPercent);
    }
}
