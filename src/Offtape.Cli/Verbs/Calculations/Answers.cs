using Offtape.Base;

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
    string Formula
)
{
    public static SpeedAnswer From(double ratio, double? speedCmPerSecond, double? tempoBpm, string formula) =>
        double.IsNaN(ratio)
            ? new(null, null, null, null, speedCmPerSecond, tempoBpm, null, formula)
            : new(
                ratio,
                Conversions.RatioToPercent(ratio),
                Conversions.RatioToCents(ratio),
                60 / ratio,
                speedCmPerSecond,
                tempoBpm,
                tempoBpm * ratio,
                formula
            );
}
