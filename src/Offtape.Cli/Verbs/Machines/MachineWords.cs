using Offtape.Base;
using Offtape.Bench;
using Offtape.Cli.Shell;
using Offtape.Cli.Verbs.Log;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Machines;

/// <summary>A machine in words.</summary>
internal static class MachineWords
{
    private const double DaysInMonth = 30.44;

    public static void Facts(MachineView view, Sheet sheet)
    {
        var machine = view.Machine;
        (string Name, string? Value)[] rows =
        [
            ("kind", machine.Kind),
            ("hears", machine.Monitoring),
            ("speeds, cm/s", machine.SpeedsCmPerSecond),
            ("tracks", machine.TrackFormat),
            ("head distance", machine.HeadDistanceMm is { } gap ? $"{Figures.Plain(gap)} mm" : null),
            ("mains", machine.MainsHz is { } hz ? $"{Figures.Plain(hz)} Hz" : null),
            ("has run", Hours(view.Hours)),
            ("passes", $"{view.PassCount}"),
            ("note", machine.Note),
        ];
        sheet.Table(["", ""], rows.Where(r => r.Value is not null).Select(r => (string[])[r.Name, r.Value!]));
    }

    public static string Hours(MachineHours hours) =>
        $"{Words.Number(hours.Total, 1)} h"
        + (hours.NotBackCount > 0 ? $" (without {Words.Count(hours.NotBackCount, "pass", "passes")} that did not come back)" : "");

    public static void LineUps(IReadOnlyList<LineUp> lineUps, Sheet sheet) =>
        sheet.Table(
            ["day", ">send at zero", ">return at zero", ">trim", ">cm/s", "tape", "note"],
            lineUps.Select(l =>
                (string[])
                    [
                        LogWords.Day(l.At),
                        Level(l.SendDbfsAtZero, "dBFS"),
                        Level(l.ReturnDbfsAtZero, "dBFS"),
                        l.TrimDb is { } trim ? $"{Figures.Signed(trim, 2)} dB" : LogWords.NotSaid,
                        l.SpeedCmPerSecond is { } speed ? Figures.Plain(speed, 2) : LogWords.NotSaid,
                        l.TapeType ?? LogWords.NotSaid,
                        l.Note,
                    ]
            )
        );

    /// <summary>What has changed, each in one line; what has not, in one line together.</summary>
    public static void Trends(IReadOnlyList<BenchTrend> trends, Sheet sheet)
    {
        var changed = trends.Where(t => t.IsChange).ToArray();
        sheet.Table(
            ["reading", ">first", ">last", ">change", "over"],
            changed.Select(t =>
                (string[])
                    [
                        Name(t),
                        Figure(t.Points[0].Value, t.Unit),
                        Figure(t.Points[^1].Value, t.Unit),
                        $"{Figures.Signed(t.Change!.Value)} ± {Figures.Plain(t.ChangeUncertainty!.Value)}{Unit(t.Unit)}",
                        Span(t.SpanDays),
                    ]
            )
        );
        var still = trends.Where(t => t.Change is not null && !t.IsChange).ToArray();
        if (still.Length > 0)
            sheet.Paragraph(
                $"No change beyond the uncertainty in {Words.Count(still.Length, "reading")}: {Words.List([.. still.Select(t => QuantityWords.Of(t.Quantity)).Distinct()])}."
            );
        foreach (var reason in trends.Where(t => t.Reason is not null).GroupBy(t => t.Reason))
            sheet.Paragraph(
                $"No trend yet for {Words.List([.. reason.Select(t => QuantityWords.Of(t.Quantity)).Distinct()])}: {reason.Key}."
            );
    }

    /// <summary>What is due first, with the cautions beside it.</summary>
    public static void Upkeep(IReadOnlyList<UpkeepDue> tasks, Sheet sheet, bool withCautions)
    {
        foreach (var task in tasks.OrderByDescending(t => t.IsDue))
        {
            sheet.Paragraph($"{task.Words} ({task.Task})", task.IsDue ? "  due   " : "        ");
            sheet.Paragraph(When(task), "        ", sheet.Ink.Soft);
            foreach (var finding in task.Findings)
                sheet.Paragraph($"The benches show: {finding}.", "        ");
            if (withCautions && task.IsDue)
                foreach (var caution in task.Cautions)
                    sheet.Paragraph(caution, "        ! ", sheet.Ink.Warn);
        }
    }

    private static string When(UpkeepDue task)
    {
        var last = (task.LastDone, task.HoursSince) switch
        {
            (null, _) => "never noted",
            ({ } day, { } hours) => $"last on {day}, {Words.Number(hours, 1)} h ago",
            ({ } day, null) => $"last on {day}",
        };
        return task.EveryHours is { } every
            ? $"{last}; every {Figures.Plain(every)} h is common practice, no source"
            : $"{last}; by what is found";
    }

    private static string Name(BenchTrend trend) =>
        QuantityWords.Of(trend.Quantity)
        + (trend.Channel is { } channel ? $", channel {channel}" : "")
        + (trend.Condition.Length > 0 ? $", {trend.Condition}" : "");

    private static string Figure(double value, string unit) => Figures.Plain(value) + Unit(unit);

    private static string Unit(string unit) => unit.Length > 0 ? Words.ThinSpace + unit : "";

    private static string Span(double days) => days < 2 * DaysInMonth ? $"{days:0} days" : $"{days / DaysInMonth:0} months";

    private static string Level(double? value, string unit) => value is { } level ? $"{Figures.Plain(level, 2)} {unit}" : LogWords.NotSaid;
}
