using Offtape.Base;

namespace Offtape.Tape;

/// <summary>A pitch control that goes so many per cent each way about the nominal speed (arithmetic).</summary>
/// <param name="RangePercent">How far it goes, above 0 and below 100.</param>
public sealed record PitchControl(double RangePercent)
{
    public double SlowestRatio => Conversions.PercentToRatio(-RangePercent);

    public double FastestRatio => Conversions.PercentToRatio(RangePercent);

    public bool Reaches(double ratio) => ratio >= SlowestRatio && ratio <= FastestRatio;

    /// <summary>The nearest ratio it does.</summary>
    public double Nearest(double ratio) => Math.Clamp(ratio, SlowestRatio, FastestRatio);

    /// <summary>Where it has to stand to undo another setting, in per cent: +8 is undone by −7.41, for 1 ÷ 1.08.</summary>
    public static double UndoingPercent(double percent) => Conversions.RatioToPercent(1 / Conversions.PercentToRatio(percent));
}
