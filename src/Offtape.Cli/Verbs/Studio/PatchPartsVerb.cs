using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Studio;

/// <summary>Lists the parts by the names that files use.</summary>
internal static class PatchPartsVerb
{
    public static Verb Create()
    {
        var command = new Command("parts", "Lists cables, adapters and attenuators by the names that files use.");
        return new Verb(command, "offtape patch parts", (_, desk, _) => Run(desk));
    }

    private static ExitCode Run(Desk desk)
    {
        IReadOnlyList<PartRow> rows =
        [
            .. PartTypes.All.Select(p => new PartRow(
                p.Id,
                p.Words,
                p.Kind.ToString().ToLowerInvariant(),
                [.. p.Ends.Select(e => $"{e.Shape.Id} {e.Gender.ToString().ToLowerInvariant()}")],
                p.AttenuationDb
            )),
        ];
        desk.Result(
            rows,
            CliJsonContext.Default.IReadOnlyListPartRow,
            sheet => sheet.Table(["name", "part"], rows.Select(r => (string[])[r.Part, r.Words]))
        );
        return ExitCode.Done;
    }
}
