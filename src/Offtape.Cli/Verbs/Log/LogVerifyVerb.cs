using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Log;

/// <summary>Reads every file of the log again.</summary>
internal static class LogVerifyVerb
{
    private const int MostLines = 20;

    public static Verb Create()
    {
        var follow = Quantities.Switch("--follow", "note where moved files lie now");
        var studio = StudioInUse.Option();
        var command = new Command("verify", "Reads everything again: what is missing, changed, moved or not known.") { follow, studio };
        return new Verb(
            command,
            "offtape log verify",
            (parsed, desk, cancellation) =>
            {
                using var store = StudioInUse.Open(parsed, studio);
                var report = new LogVerifier(store).Verify(parsed.GetValue(follow), desk.Progress.Begin(), cancellation);
                desk.Result(report, CliJsonContext.Default.VerifyReport, sheet => Say(report, sheet));
                return report.IsFine ? ExitCode.Done : ExitCode.Incomplete;
            }
        );
    }

    private static void Say(VerifyReport report, Sheet sheet)
    {
        foreach (var fault in report.DatabaseFaults.Take(MostLines))
            sheet.Paragraph($"database: {fault}", "  ");
        List("missing", report.Missing, sheet);
        List("changed", report.Changed, sheet);
        List("cannot be read", report.Unreadable, sheet);
        List(report.IsFollowed ? "moved, and noted" : "moved", [.. report.Moved.Select(m => $"{m.From} now lies in {m.To}")], sheet);
        List("not in the log", report.Unknown, sheet);
        sheet.Paragraph(VerifyWords.Of(report));
        if (report.Moved.Count > 0 && !report.IsFollowed)
            sheet.Paragraph("Note where the moved ones lie now with log verify --follow.");
        if (report.Unknown.Count > 0)
            sheet.Paragraph("What is not in the log is no harm; log rebuild takes in sheets that are not.");
    }

    private static void List(string what, IReadOnlyList<string> lines, Sheet sheet)
    {
        foreach (var line in lines.Take(MostLines))
            sheet.Line($"  {what}: {line}");
        if (lines.Count > MostLines)
            sheet.Line($"  {what}: {lines.Count - MostLines} more (--json names all)");
    }
}
