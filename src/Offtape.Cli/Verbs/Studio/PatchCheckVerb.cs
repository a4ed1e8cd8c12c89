using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Studio;

/// <summary>Looks at a patch as it is wired.</summary>
internal static class PatchCheckVerb
{
    public static Verb Create()
    {
        var rig = new Argument<string>("RIG") { Description = "file that says how it is wired, under \"wired\" (docs/kit-and-patch.md)" };
        var command = new Command("check", "Looks at a patch as it is wired, and says what of it hurts.") { rig };
        return new Verb(command, "offtape patch check rig.json", (parsed, desk, _) => Run(parsed.GetValue(rig)!, desk));
    }

    private static ExitCode Run(string path, Desk desk)
    {
        var rig = RigFile.Read(path);
        if (rig.Wired.Joins.Count == 0)
            throw Fault.Input(
                path,
                "it does not say how it is wired",
                null,
                "Write it under \"wired\"; docs/kit-and-patch.md shows how. offtape patch plan makes a patch."
            );
        var found = PatchCheck.Examine(rig, rig.Wired);
        var isFine = found.Hazards.All(h => h.Severity != Severity.Refuse);
        var answer = new PatchCheckAnswer(isFine, [.. found.Lanes.Select(ChannelRow.Of)], [.. found.Hazards.Select(HazardRow.From)]);
        desk.Result(answer, CliJsonContext.Default.PatchCheckAnswer, sheet => Say(found, sheet));
        return isFine ? ExitCode.Done : ExitCode.Incomplete;
    }

    private static void Say(PatchFindings found, Sheet sheet)
    {
        if (found.Lanes.Count == 0)
            sheet.Line("No output reaches an input.");
        else
            sheet.Table(["channel", ">level"], found.Lanes.Select(l => (string[])[l.Words, $"{Words.Signed(l.MismatchDb, 1)} dB"]));
        PatchWords.Say(found.Hazards, sheet);
        if (found.Hazards.Count == 0)
            sheet.Line().Line("Nothing of it hurts.");
    }
}
