using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>One speed of <c>calc gap</c>.</summary>
public sealed record GapRow(double SpeedCmPerSecond, double SpeedInchesPerSecond, double DistanceMillimetres, double DelayMilliseconds);

/// <summary>The answer of <c>calc gap</c>; what was neither given nor worked out for one speed alone is null.</summary>
public sealed record GapAnswer(
    double? DistanceMillimetres,
    double? DelayMilliseconds,
    double? SpeedCmPerSecond,
    IReadOnlyList<GapRow> Rows,
    string Formula
);

/// <summary>One speed of <c>calc time</c>.</summary>
public sealed record TimeRow(double SpeedCmPerSecond, double SpeedInchesPerSecond, double LengthMetres, double MinutesPerSide);

/// <summary>The answer of <c>calc time</c>; what was neither given nor worked out for one speed alone is null.</summary>
public sealed record TimeAnswer(
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

/// <summary>The answer of <c>calc speed</c>. <paramref name="SpeedRatio"/> above 1 is fast, and sharp.</summary>
public sealed record SpeedAnswer(
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

/// <summary>The answer of <c>calc loop</c>.</summary>
public sealed record LoopAnswer(
    double Beats,
    double TempoBpm,
    double SpeedCmPerSecond,
    double LengthCentimetres,
    double LengthInches,
    double TurnSeconds,
    double SpliceDegrees,
    double SpliceMilliseconds,
    double MillimetreIsMilliseconds,
    double MillimetreIsCents,
    string Formula
);

/// <summary>One note of <c>calc echo</c>, and the nearest that the machine does.</summary>
public sealed record EchoRow(
    string Note,
    double Milliseconds,
    double DistanceMillimetres,
    double SpeedCmPerSecond,
    double PitchPercent,
    double DoneMilliseconds,
    double ErrorMilliseconds,
    double? ExactTempoBpm
);

/// <summary>The answer of <c>calc echo</c>.</summary>
public sealed record EchoAnswer(double? TempoBpm, double PitchRangePercent, IReadOnlyList<EchoRow> Rows, string Formula);

/// <summary>The answer of <c>calc pitch</c>.</summary>
public sealed record PitchAnswer(
    double PitchPercent,
    double PitchCents,
    double PitchSemitones,
    double? TempoBpm,
    double? TempoBecomesBpm,
    double UndoingPercent,
    double? RangePercent,
    bool? IsWithinRange,
    double? NearestPercent,
    double? NearestCents,
    double? NearestTempoBpm,
    double? SlowestCents,
    double? FastestCents,
    string Formula
);

/// <summary>The answer of <c>calc print</c>.</summary>
public sealed record PrintAnswer(
    double RecordedCmPerSecond,
    double ReplayedCmPerSecond,
    double PrintRatio,
    double PlainPitchCents,
    double? SourceSeconds,
    double? SendSeconds,
    double? TapeMetres,
    double? PlainReturnSeconds,
    double? BandLowHz,
    double? BandHighHz,
    double? SourceLowHz,
    double? SourceHighHz,
    string Formula
);

/// <summary>One generation of <c>calc generations</c>.</summary>
public sealed record GenerationRow(
    int Generation,
    double NoiseAddsDb,
    double? NoiseDb,
    double WobbleTimes,
    double? WobblePercent,
    double? LossDb
);

/// <summary>The answer of <c>calc generations</c>.</summary>
public sealed record GenerationsAnswer(IReadOnlyList<GenerationRow> Rows, string Formula);

/// <summary>One speed of <c>calc cost</c>.</summary>
public sealed record CostRow(double SpeedCmPerSecond, double MinutesPerSide, double PerMinute, double PerTrackMinute);

/// <summary>The answer of <c>calc cost</c>.</summary>
public sealed record CostAnswer(
    double Price,
    double LengthMetres,
    int SideCount,
    int UseCount,
    int TrackCount,
    IReadOnlyList<CostRow> Rows,
    string Formula
);
