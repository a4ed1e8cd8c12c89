using Offtape.Base;
using Offtape.Studio;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Tapes;

/// <summary>A stretch of a side in JSON; seconds are at the speed the answer was asked for.</summary>
internal sealed record StretchAnswer(
    double FromSeconds,
    double ToSeconds,
    double FromMetres,
    double ToMetres,
    double? Counter,
    int Times,
    string What,
    bool Reversed,
    IReadOnlyList<int> Tracks,
    string? PassId,
    double? RecordedAtCmPerSecond
);

/// <summary>A free stretch in JSON.</summary>
internal sealed record FreeAnswer(double FromSeconds, double ToSeconds, double FromMetres, double ToMetres);

/// <summary>What is free on some tracks of a side, in JSON; no tracks: on all of the side.</summary>
internal sealed record FreeTracksAnswer(IReadOnlyList<int> Tracks, double FreeSeconds, IReadOnlyList<FreeAnswer> Free);

/// <summary>A side in JSON: what is free on all its tracks at once, and track by track.</summary>
internal sealed record SideAnswer(
    string Side,
    IReadOnlyList<int> Tracks,
    double? LengthMetres,
    double? PlayingSeconds,
    double? FreeSeconds,
    IReadOnlyList<StretchAnswer> Recorded,
    IReadOnlyList<FreeAnswer> Free,
    IReadOnlyList<FreeTracksAnswer> FreeByTrack,
    int UnplacedCount
)
{
    public static SideAnswer From(TapeSide side, TapeSpeed speed, SideMargins margins, CounterCurve? counter)
    {
        var free = side.Free(speed, margins);
        return new SideAnswer(
            side.Name,
            side.TrackNumbers,
            side.LengthMetres,
            side.PlayingSeconds(speed),
            side.LengthMetres is null ? null : free.Sum(f => f.Seconds(speed)),
            [
                .. BoxSheet
                    .Latest(side)
                    .Select(u => new StretchAnswer(
                        u.FromMetres / speed.MetresPerSecond,
                        u.ToMetres / speed.MetresPerSecond,
                        u.FromMetres,
                        u.ToMetres,
                        counter?.CounterAt(u.FromMetres),
                        u.Times,
                        u.Now.What,
                        u.Now.IsReversed,
                        u.Tracks,
                        u.Now.PassId,
                        u.Now.SpeedCmPerSecond
                    )),
            ],
            InTime(free, speed),
            [
                .. side.FreeByTrack(speed, margins)
                    .Select(f => new FreeTracksAnswer(f.Tracks, f.Free.Sum(x => x.Seconds(speed)), InTime(f.Free, speed))),
            ],
            side.Unplaced.Count
        );
    }

    private static FreeAnswer[] InTime(IEnumerable<FreeStretch> free, TapeSpeed speed) =>
        [
            .. free.Select(f => new FreeAnswer(
                f.FromMetres / speed.MetresPerSecond,
                f.ToMetres / speed.MetresPerSecond,
                f.FromMetres,
                f.ToMetres
            )),
        ];
}

/// <summary>A tape in JSON.</summary>
internal sealed record TapeAnswer(
    string Name,
    string? Medium,
    string? Format,
    string? Type,
    double? LengthMetres,
    double? ThicknessMicrometres,
    string Note,
    double SpeedCmPerSecond,
    IReadOnlyList<SideAnswer> Sides,
    bool? CanPrintBackwardsByTurning,
    string? TurnedOver
)
{
    public static TapeAnswer From(TapeEntry tape, TapeSpeed speed, SideMargins margins, CounterCurve? counter = null)
    {
        var turns = tape.Format is { } format ? TapeTurns.Of(format) : null;
        return new TapeAnswer(
            tape.Name,
            tape.Medium,
            tape.Format is { } own ? TrackFormatNames.Of(own) : null,
            tape.Type,
            tape.LengthMetres,
            tape.ThicknessMicrometres,
            tape.Note,
            speed.CmPerSecond,
            [.. tape.Sides.Select(s => SideAnswer.From(s, speed, margins, counter))],
            turns?.CanPrintBackwards,
            turns?.Words
        );
    }
}

/// <summary>Where one sound goes, in JSON.</summary>
internal sealed record FitRow(string Sound, double TapeSeconds, string? Tape, string? Side, double? StartSeconds, double? StartCounter)
{
    /// <summary>The tracks it goes to; empty: all of the side.</summary>
    public IReadOnlyList<int> Tracks { get; init; } = [];
}

/// <summary>The answer of <c>tape fit</c>.</summary>
internal sealed record FitAnswer(double SpeedCmPerSecond, IReadOnlyList<FitRow> Sounds, bool IsProvenBest, double FreeSeconds);

/// <summary>The answer of <c>tape box</c>.</summary>
internal sealed record BoxAnswer(IReadOnlyList<string> Files);

/// <summary>The answer of <c>tape mark</c>.</summary>
internal sealed record MarkAnswer(string Machine, string Tape, string Side, double Counter, double Metres);
