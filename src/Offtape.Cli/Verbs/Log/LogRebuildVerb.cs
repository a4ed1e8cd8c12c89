using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Log;

/// <summary>Makes the database again from the files of the folder.</summary>
internal static class LogRebuildVerb
{
    public static Verb Create()
    {
        var anew = Quantities.Switch("--anew", "put the database aside first, under .offtape/backups, and begin a new one");
        var studio = StudioInUse.Option();
        var command = new Command("rebuild", "Takes into the log what the sheets and takes in the folder say.") { anew, studio };
        return new Verb(
            command,
            "offtape log rebuild --studio studio",
            (parsed, desk, cancellation) =>
            {
                var folder =
                    StudioInUse.Folder(parsed, studio)
                    ?? throw Fault.Usage("log rebuild needs a studio folder", "Name it with --studio DIR.");
                if (!Directory.Exists(folder))
                    throw Fault.Input(folder, "there is no such folder");
                var aside = parsed.GetValue(anew) ? LogRebuild.PutAside(folder) : null;
                using var store = StudioStore.Open(folder);
                var report = new LogRebuild(store).Run(desk.Progress.Begin(), cancellation);
                foreach (var notice in report.Notices)
                    desk.Tell(notice);
                var answer = new RebuildAnswer(report.Sends, report.Returns, report.Benches, report.Takes, report.Troubles, aside);
                desk.Result(answer, CliJsonContext.Default.RebuildAnswer, sheet => Say(answer, report, sheet));
                return report.Troubles.Count == 0 ? ExitCode.Done : ExitCode.Incomplete;
            }
        );
    }

    private static void Say(RebuildAnswer answer, RebuildReport report, Sheet sheet)
    {
        foreach (var trouble in answer.Troubles)
            sheet.Paragraph(trouble, "  ");
        sheet.Paragraph(RebuildWords.Of(report, null));
        if (answer.PutAside is { } aside)
            sheet.Paragraph(RebuildWords.Aside(aside));
    }
}

/// <summary>The answer of <c>log rebuild</c>: what is new to the log, what could not be read, and where the database of before lies.</summary>
internal sealed record RebuildAnswer(int Sends, int Returns, int Benches, int Takes, IReadOnlyList<string> Troubles, string? PutAside);
