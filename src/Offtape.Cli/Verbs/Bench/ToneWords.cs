using Offtape.Base;
using Offtape.Bench;
using Offtape.Cli.Shell;

namespace Offtape.Cli.Verbs.Bench;

/// <summary>A measured tone in words.</summary>
internal static class ToneWords
{
    private const int MostLines = 6;

    private static readonly (string Quantity, string Words)[] Rows =
    [
        ("speedError", "speed error"),
        ("drift", "drift"),
        ("weightedTwoSigma", "wow and flutter, weighted, two-sigma"),
        ("weightedPeak", "the same by the older quasi-peak readout"),
        ("weightedRms", "weighted, RMS"),
        ("unweightedPeak", "unweighted, peak"),
        ("unweightedRms", "unweighted, RMS"),
    ];

    internal static void Say(ToneReport report, Sheet sheet)
    {
        var mean = report.Find("meanFrequency")!;
        sheet.Line(
            $"A tone of {Words.Number(mean.Value!.Value, 2)} ± {Words.Number(mean.Uncertainty!.Value, 2)} Hz for {Words.Duration(report.LengthSeconds)}, "
                + $"{Words.Number(report.SignalToNoiseDb, 0)} dB above its noise."
        );
        sheet.Line();
        sheet.Table(["", ">%", ">±", ""], Rows.Select(r => Row(report, r.Quantity, r.Words)));
        sheet.Line();
        if (report.IsNominalAssumed)
            sheet.Paragraph(
                $"That {Words.Number(report.NominalHz!.Value, 0)} Hz were recorded is assumed, as the usual test tone next to it; tell what it was with --nominal."
            );
        sheet.Paragraph(
            "The speed error is against the machine that recorded the tape. If that was this one, it says nothing of its speed, and the wobble is "
                + "that of both runs."
        );
        sheet.Paragraph(
            $"Unweighted is {Words.Number(Tape.WobbleReadout.LowestHz, 1)} to {Words.Number(report.BandHz, 0)} Hz. Each figure is that of this stretch."
        );
        if (report.Lines.Count == 0)
            return;
        sheet.Line();
        sheet.Table(
            [">times a second", ">% peak"],
            report.Lines.Take(MostLines).Select(l => (string[])[Words.Number(l.FrequencyHz, 2), Words.Number(l.PeakPercent, 3)])
        );
        if (report.Parts.Count == 0)
            return;
        sheet.Line().Paragraph("What may be behind it, most likely first; no certainty, as two parts may turn alike:");
        sheet.Table(
            ["", ">likely", ""],
            report.Parts.Select(p => (string[])[PartNames.Of(p.Part), Words.Number(100 * p.Likelihood, 0) + " %", p.Words])
        );
    }

    private static string[] Row(ToneReport report, string quantity, string words)
    {
        var reading = report.Find(quantity)!;
        if (reading.Value is not { } value)
            return [words, "not known", "", reading.Reason ?? ""];
        var isSigned = quantity is "speedError" or "drift";
        return [words, isSigned ? Words.Signed(value, 3) : Words.Number(value, 3), Words.Number(Rounded(reading.Uncertainty ?? 0), 3), ""];
    }

    // Shown uncertainty is never rounded to nothing.
    private static double Rounded(double uncertainty) => Math.Max(0.001, Math.Ceiling(uncertainty * 1000) / 1000);
}
