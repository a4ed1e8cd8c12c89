using Offtape.Base;
using Offtape.Report;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>What a minute of tape costs.</summary>
internal static class CostCalculation
{
    private const string Formula = "cost a minute = price ÷ (minutes of a side · sides · uses)";

    private static readonly AskedField Price = AskedField.Number(
        "price",
        "Price of the tape",
        "MONEY",
        "",
        "what the tape costs, in any currency",
        0,
        1e6
    ) with
    {
        Hint = "in any currency",
    };
    private static readonly AskedField Tape = TimeCalculation.TapeField();
    private static readonly AskedField Speed = AskedField.Speed(
        "speed",
        "Tape speed",
        "tape speed, in cm/s or as 7.5ips; all usual ones unless told"
    ) with
    {
        Hint = "all usual ones unless told",
    };
    private static readonly AskedField Sides = TimeCalculation.SidesField();
    private static readonly AskedField Uses = AskedField.Whole(
        "uses",
        "Times it is recorded over",
        "how many times it is recorded over; 1 unless told",
        1,
        10_000
    ) with
    {
        Hint = "1 unless told",
    };
    private static readonly AskedField Tracks = AskedField.Whole(
        "tracks",
        "Tracks recorded at once",
        "tracks that are recorded at once; 1 unless told",
        1,
        64
    ) with
    {
        Hint = "1 unless told",
    };

    public static Calculation Create() =>
        new(
            "cost",
            "Says what a minute of tape costs.",
            "--price 6.50 --tape C60 --sides 2 --uses 5",
            [Price, Tape, Speed, Sides, Uses, Tracks],
            asked => Say(Answer(asked))
        )
        {
            Title = "Cost of a minute",
            Needs = "The price and the tape.",
        };

    private static CostAnswer Answer(Asked asked)
    {
        if (asked.Number(Price) is not { } money || asked.Text(Tape) is not { } tape)
            throw Fault.Usage($"{asked.Self} needs {asked.Call(Price, Tape)}", "Tape costs what it did for as many minutes as it holds.");
        var (sides, uses, tracks) = (asked.Whole(Sides) ?? 1, asked.Whole(Uses) ?? 1, asked.Whole(Tracks) ?? 1);
        var metres = TimeCalculation.LengthOf(tape, asked.Call(Tape));
        var cost = new TapeCost(money, sides, uses);
        var speeds = asked.Number(Speed) is { } one ? [one] : TapeSpeeds.All.Select(s => s.Speed.CmPerSecond);
        return new CostAnswer(
            money,
            metres,
            sides,
            uses,
            tracks,
            [
                .. speeds.Select(v =>
                {
                    var minutes = metres * 100 / v / 60;
                    return new CostRow(v, minutes, cost.PerMinute(minutes), cost.PerMinute(minutes) / tracks);
                }),
            ],
            Formula
        );
    }

    private static Calculated Say(CostAnswer answer)
    {
        var hasTracks = answer.TrackCount > 1;
        var table = ReportTable.Create("").Figures("cm/s").Figures("min a side").Figures("a minute costs");
        if (hasTracks)
            table = table.Figures("of one track");
        foreach (var r in answer.Rows)
            table = table.Row([
                Figures.Plain(r.SpeedCmPerSecond, 4),
                Figures.Plain(r.MinutesPerSide, 1),
                $"{r.PerMinute:0.0000}",
                .. hasTracks ? (TableCell[])[$"{r.PerTrackMinute:0.0000}"] : [],
            ]);
        return new Calculated(answer, Formula)
        {
            Lead =
            [
                $"{Figures.Plain(answer.LengthMetres, 1)} m for {answer.Price:0.00}, {Words.Count(answer.SideCount, "side")}, recorded {Words.Count(answer.UseCount, "time")}:",
            ],
            Table = table,
            Caution = "Leader, margins and spoilt takes come on top.",
        };
    }
}
