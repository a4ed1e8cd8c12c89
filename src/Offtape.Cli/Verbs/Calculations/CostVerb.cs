using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Calculations;

/// <summary>One speed of <c>calc cost</c>.</summary>
internal sealed record CostRow(double SpeedCmPerSecond, double MinutesPerSide, double PerMinute, double PerTrackMinute);

/// <summary>The answer of <c>calc cost</c>.</summary>
internal sealed record CostAnswer(
    double Price,
    double LengthMetres,
    int SideCount,
    int UseCount,
    int TrackCount,
    IReadOnlyList<CostRow> Rows,
    string Formula
);

/// <summary>What a minute of tape costs.</summary>
internal static class CostVerb
{
    private const string Formula = "cost a minute = price ÷ (minutes of a side · sides · uses)";

    public static Verb Create()
    {
        var price = Quantities.Number("--price", "MONEY", "what the tape costs, in any currency", 0, 1e6);
        var tape = Quantities.Text("--tape", "C60|1800ft|540m", "a tape by its name or length");
        var speed = Quantities.Speed("--speed", "tape speed, in cm/s or as 7.5ips; all usual ones unless told");
        var sides = Quantities.Whole("--sides", "N", "how many sides are used; 1 unless told", 1, 8);
        var uses = Quantities.Whole("--uses", "N", "how many times it is recorded over; 1 unless told", 1, 10_000);
        var tracks = Quantities.Whole("--tracks", "N", "tracks that are recorded at once; 1 unless told", 1, 64);
        var command = new Command("cost", "Says what a minute of tape costs.") { price, tape, speed, sides, uses, tracks };
        return Verb.Answering(
            command,
            "offtape calc cost --price 6.50 --tape C60 --sides 2 --uses 5",
            parsed =>
                Answer(
                    parsed.GetValue(price),
                    parsed.GetValue(tape),
                    parsed.GetValue(speed),
                    parsed.GetValue(sides) ?? 1,
                    parsed.GetValue(uses) ?? 1,
                    parsed.GetValue(tracks) ?? 1
                ),
            CliJsonContext.Default.CostAnswer,
            Say
        );
    }

    internal static CostAnswer Answer(double? price, string? tape, double? speedCmPerSecond, int sides, int uses, int tracks)
    {
        if (price is not { } money || tape is null)
            throw Fault.Usage("calc cost needs --price and --tape", "See offtape calc cost --help.");
        var metres = TimeVerb.LengthOf(tape);
        var cost = new TapeCost(money, sides, uses);
        var speeds = speedCmPerSecond is { } one ? [one] : TapeSpeeds.All.Select(s => s.Speed.CmPerSecond);
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

    private static void Say(CostAnswer answer, Sheet sheet)
    {
        var hasTracks = answer.TrackCount > 1;
        sheet
            .Line(
                $"{Figures.Plain(answer.LengthMetres, 1)} m for {answer.Price:0.00}, {Words.Count(answer.SideCount, "side")}, recorded {Words.Count(answer.UseCount, "time")}:"
            )
            .Line()
            .Table(
                [">cm/s", ">min a side", ">a minute costs", .. hasTracks ? [">of one track"] : Array.Empty<string>()],
                answer.Rows.Select(r =>
                    (string[])
                        [
                            Figures.Plain(r.SpeedCmPerSecond, 4),
                            Figures.Plain(r.MinutesPerSide, 1),
                            $"{r.PerMinute:0.0000}",
                            .. hasTracks ? [$"{r.PerTrackMinute:0.0000}"] : Array.Empty<string>(),
                        ]
                )
            )
            .Line()
            .Paragraph(Formula + ". Leader, margins and spoilt takes come on top.");
    }
}
