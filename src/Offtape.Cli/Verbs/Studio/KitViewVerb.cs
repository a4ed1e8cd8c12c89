using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Studio;

/// <summary>Prints what to look at and listen for at the seller's.</summary>
internal static class KitViewVerb
{
    public static Verb Create()
    {
        var offers = new Argument<string>("OFFERS") { Description = "table of offers, CSV or JSON" };
        var row = Quantities.Whole("--row", "N", "the row of the machine in its table (in JSON its place in the list)", 1, 1_000_000);
        var title = Quantities.Text("--machine", "TEXT", "the machine by words of its title, where one alone has them");
        var request = Quantities.Text("--request", "FILE", "your request, for your mains and currency");
        var to = Quantities.Text("--to", "DIR", "folder that receives viewing.svg and viewing.pdf");
        var command = new Command("view", "Prints what to look at and listen for in ten minutes at the seller's.")
        {
            offers,
            row,
            title,
            request,
            to,
        };
        return new Verb(
            command,
            "offtape kit view offers.csv --row 2 --to viewing",
            (parsed, desk, _) =>
                Run(
                    parsed.GetValue(offers)!,
                    parsed.GetValue(row),
                    parsed.GetValue(title),
                    parsed.GetValue(request),
                    parsed.GetValue(to),
                    desk
                )
        );
    }

    private static ExitCode Run(string path, int? row, string? title, string? requestPath, string? folder, Desk desk)
    {
        if (folder is null)
            throw Fault.Usage("kit view needs --to DIR", "It names the folder that receives the page.");
        if (row is null == title is null)
            throw Fault.Usage("kit view needs --row N or --machine TEXT", "It says which machine of the table is looked at.");
        var request = requestPath is null ? null : KitRequestFile.Read(requestPath);
        var machines = OfferFiles.Read([path], [], request?.Parts ?? PartTypes.All, desk).Where(o => o.IsMachine).ToArray();
        var found = machines.Where(m => row is { } r ? m.Row == r : m.Title.Contains(title!, StringComparison.OrdinalIgnoreCase)).ToArray();
        if (found.Length != 1)
            throw Fault.Incomplete(
                found.Length == 0
                    ? $"There is no machine {(row is { } n ? $"in row {n}" : $"\"{title}\"")}"
                    : $"{found.Length} machines are called \"{title}\"",
                $"The table has {Words.List([.. machines.Take(10).Select(m => $"{m.Title} (row {m.Row})")])}."
            );
        var files = StudioSheets.Write(ViewingSheet.Of(found[0], request), folder, "viewing", desk);
        desk.Result(new KitFilesAnswer(files), CliJsonContext.Default.KitFilesAnswer, sheet => sheet.Line($"Wrote {Words.List(files)}."));
        return ExitCode.Done;
    }
}
