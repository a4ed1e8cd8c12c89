using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Log;

/// <summary>Says which tape and machine made a file.</summary>
internal static class LogFindVerb
{
    public static Verb Create()
    {
        var files = new Argument<string[]>("FILE")
        {
            Description = "takes, captures, sends or sources, under whatever name",
            Arity = ArgumentArity.OneOrMore,
        };
        var studio = StudioInUse.Option();
        var command = new Command("find", "Says which tape and machine made a file, whatever it is called now.") { files, studio };
        return new Verb(
            command,
            "offtape log find kit-tape.wav",
            (parsed, desk, cancellation) =>
            {
                using var store = StudioInUse.Open(parsed, studio);
                var search = new OriginSearch(store);
                IReadOnlyList<FileOrigin> found = [.. parsed.GetValue(files)!.Select(f => search.Of(f, cancellation))];
                desk.Result(found, CliJsonContext.Default.IReadOnlyListFileOrigin, sheet => Say(found, sheet));
                return found.All(f => f.KnownBy is not null) ? ExitCode.Done : ExitCode.Incomplete;
            }
        );
    }

    private static void Say(IReadOnlyList<FileOrigin> found, Sheet sheet)
    {
        for (var i = 0; i < found.Count; i++)
        {
            if (i > 0)
                sheet.Line();
            sheet.Paragraph(OriginWords.Of(found[i]));
            if (found[i].Passes is [var pass])
                LogWords.Full(pass, sheet);
            else if (found[i].Passes.Count > 1)
                LogWords.Table(found[i].Passes, sheet);
        }
    }
}
