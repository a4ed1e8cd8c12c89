using Offtape.Base;
using Offtape.Report;

namespace Offtape.Bench;

/// <summary>The page of a report: the sentence for a person first, then pictures, then every figure with its uncertainty.</summary>
public static class BenchPage
{
    public static string Html(BenchReport report, string footer)
    {
        var page = HtmlPage
            .Create(report.Machine.Length > 0 ? $"Bench: {report.Machine}" : "Bench")
            .Lead(report.Summary)
            .Footer(footer)
            .Facts(Facts(report))
            .Notices(report.Notices);
        foreach (var outside in report.OutsideLimits)
            page = page.Caution(CautionKind.Bad, "Outside", outside);
        page = page.Section("At a glance").Table(Glance(report));
        page = Diagnosed(page, report.Diagnosis);
        var yardstick = Yardstick.Hold(report);
        if (yardstick.Any(l => l.Got is not null))
            page = page.Section("Against a yardstick", $"{Yardstick.Name}: the least that was asked of a hi-fi machine.")
                .Table(Held(yardstick));
        var plots = BenchPlots.Of(report);
        if (plots.Count > 0)
        {
            page = page.Section("Curves");
            foreach (var (_, plot, says) in plots)
                page = page.Figure(plot, says);
        }
        page = page.Section("Every figure", "± holds the truth 95 times in 100.").Table(Known(report));
        if (report.Readings.Any(r => r.Value is null && BenchReport.IsAsked(r)))
            page = page.Section("What is not known, and why").Table(NotKnown(report));
        if (report.Parts.Any(p => !p.Heard && p.IsAsked))
            page = page.Section("Parts of the check signal that were not heard").Table(Missing(report));
        return page.ToHtml();
    }

    private static HtmlPage Diagnosed(HtmlPage page, Diagnosis? diagnosis)
    {
        if (diagnosis is null)
            return page;
        page = page.Section("What it may be", diagnosis.Summary);
        foreach (var finding in diagnosis.Findings)
        {
            page = page.Part($"{char.ToUpperInvariant(finding.Finding[0])}{finding.Finding[1..]}: {finding.Likelihood}", finding.Reason);
            if (finding.Seen.Count > 0)
                page = page.Text($"Seen: {string.Join("; ", finding.Seen)}.");
            if (finding.Evidence.Count > 0)
                page = page.Text($"{char.ToUpperInvariant(finding.Evidence[0][0])}{string.Join("; ", finding.Evidence)[1..]}.");
            // A caution stands right behind its step: where the hand is.
            foreach (var step in finding.Steps)
            {
                page = page.Checklist(step.Text);
                if (step.Caution is { } caution)
                    page = page.Caution(CautionKind.Warn, "Beware", caution);
            }
            page = page.Text($"Source: {finding.Source}.");
        }
        return page;
    }

    private static (string Name, string Value)[] Facts(BenchReport report)
    {
        var facts = new List<(string, string)> { ("taken", HowWords(report.How)) };
        if (report.Date is { } date)
            facts.Add(("day", date));
        if (report.Facts.SpeedCmPerSecond is { } speed)
            facts.Add(("tape speed", new TapeSpeed(speed).ToString()));
        facts.Add(("operating level", Quantity.Of(report.OperatingLevelDbfs, 1, "dBFS")));
        facts.Add(
            (
                "captures",
                report.Runs.Count == 0
                    ? report.Capture
                    : string.Join(", ", report.Runs.Select(r => $"{r.File} from {Words.Clock(r.StartSeconds)}"))
            )
        );
        return [.. facts];
    }

    private static string HowWords(HowTaken how) =>
        how switch
        {
            HowTaken.OffTape => "off tape, from the replay head while recording",
            HowTaken.Rewound => "rewound: recorded, rewound, replayed",
            _ => "from a tape that another machine recorded",
        };

    private static ReportTable Glance(BenchReport report)
    {
        var table = ReportTable
            .Create("The figures that are asked for first")
            .Words("what")
            .Words("at")
            .Figures("channel")
            .Figures("figure")
            .Figures("±")
            .Words("unit");
        foreach (var reading in BenchGlance.Of(report))
            table = table.Row(
                QuantityWords.Of(reading.Quantity),
                reading.Condition,
                $"{reading.Channel}",
                ReadingFigures.Value(reading),
                ReadingFigures.Uncertainty(reading),
                reading.Unit
            );
        return table;
    }

    private static ReportTable Held(IReadOnlyList<YardstickLine> lines)
    {
        var table = ReportTable.Create(Yardstick.Name).Words("what").Words("asks for").Figures("is").Words("unit").Words("holds");
        foreach (var line in lines)
            table = table.Row(
                line.Words,
                line.Wants,
                line.Got is { } got ? Words.Number(got, ReadingFigures.Decimals(got, null)) : "–",
                line.Unit,
                line.Holds switch
                {
                    true => "yes",
                    false => new TableCell("✕ no", InkRole.Bad),
                    null => line.Got is null ? "not known" : "cannot be told",
                }
            );
        return table;
    }

    private static ReportTable Known(BenchReport report)
    {
        var table = ReportTable
            .Create("Every figure that could be had")
            .Words("what")
            .Words("at")
            .Figures("channel")
            .Figures("figure")
            .Figures("±")
            .Words("unit")
            .Words("how");
        foreach (var reading in report.Readings.Where(r => r.Value is not null))
            table = table.Row(
                QuantityWords.Of(reading.Quantity),
                reading.Condition,
                $"{reading.Channel}",
                ReadingFigures.Value(reading),
                ReadingFigures.Uncertainty(reading),
                reading.Unit,
                reading.Standard.Length > 0 ? $"{reading.Method} ({reading.Standard})" : reading.Method
            );
        return table;
    }

    private static ReportTable NotKnown(BenchReport report)
    {
        var table = ReportTable.Create("Figures that could not be had").Words("what").Words("at").Figures("channel").Words("why");
        foreach (var reading in report.Readings.Where(r => r.Value is null && BenchReport.IsAsked(r)))
            table = table.Row(
                QuantityWords.Of(reading.Quantity),
                reading.Condition,
                $"{reading.Channel}",
                (reading.AtMost is null ? "" : $"{ReadingFigures.Value(reading)} {reading.Unit}: ") + reading.Reason
            );
        return table;
    }

    private static ReportTable Missing(BenchReport report)
    {
        var table = ReportTable.Create("Parts that were not heard").Words("part").Words("why");
        foreach (var part in report.Parts.Where(p => !p.Heard && p.IsAsked))
            table = table.Row(part.Name, part.Reason ?? "");
        return table;
    }
}
