using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Calculations;

/// <summary>One speed of <c>calc gap</c>.</summary>
internal sealed record GapRow(double SpeedCmPerSecond, double SpeedInchesPerSecond, double DistanceMillimetres, double DelayMilliseconds);

/// <summary>The answer of <c>calc gap</c>; what was neither given nor worked out for one speed alone is null.</summary>
internal sealed record GapAnswer(
    double? DistanceMillimetres,
    double? DelayMilliseconds,
    double? SpeedCmPerSecond,
    IReadOnlyList<GapRow> Rows,
    string Formula
);

/// <summary>One speed of <c>calc time</c>.</summary>
internal sealed record TimeRow(double SpeedCmPerSecond, double SpeedInchesPerSecond, double LengthMetres, double MinutesPerSide);

/// <summary>The answer of <c>calc time</c>; what was neither given nor worked out for one speed alone is null.</summary>
internal sealed record TimeAnswer(
    string? Tape,
    double? LengthMetres,
    double? SpeedCmPerSecond,
    double? MinutesPerSide,
    int SideCount,
    double? TotalMinutes,
    IReadOnlyList<string> ShortestTapes,
    IReadOnlyList<TimeRow> Rows,
    string Formula
);

/// <summary>What may be known to <c>calc speed</c>.</summary>
internal sealed record SpeedQuestion(
    double? Ratio = null,
    double? Percent = null,
    double? Cents = null,
    double? HeardHz = null,
    double? NominalHz = null,
    double? LengthMetres = null,
    double? OverSeconds = null,
    double? LengthErrorMm = null,
    double? OverErrorSeconds = null,
    double? FromCmPerSecond = null,
    double? ToCmPerSecond = null,
    double? TempoBpm = null
);

/// <summary>The answer of <c>calc speed</c>. <paramref name="SpeedRatio"/> above 1 is fast, and sharp.</summary>
internal sealed record SpeedAnswer(
    double? SpeedRatio,
    double? SpeedErrorPercent,
    double? PitchCents,
    double? MinuteLastsSeconds,
    double? SpeedCmPerSecond,
    double? TempoBpm,
    double? TempoBecomesBpm,
    double? UncertaintyCmPerSecond,
    double? UncertaintyPercent,
    double? UncertaintyCents,
    string Formula
)
{
    public static SpeedAnswer From(double ratio, double? speedCmPerSecond, double? tempoBpm, MeasuredSpeed? measured, string formula) =>
        new(
            double.IsNaN(ratio) ? null : ratio,
            double.IsNaN(ratio) ? null : Conversions.RatioToPercent(ratio),
            double.IsNaN(ratio) ? null : Conversions.RatioToCents(ratio),
            double.IsNaN(ratio) ? null : 60 / ratio,
            speedCmPerSecond,
            tempoBpm,
            double.IsNaN(ratio) ? null : tempoBpm * ratio,
            measured?.ErrorCmPerSecond,
            measured?.ErrorShare * 100,
            measured?.ErrorCents,
            formula
        );
}
