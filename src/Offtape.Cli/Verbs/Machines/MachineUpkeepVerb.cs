using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Machines;

/// <summary>Says what of a machine's upkeep is due, and notes what was done.</summary>
internal static class MachineUpkeepVerb
{
    public static Verb Create()
    {
        var did = Quantities.Choice("--did", "note this as done", [.. UpkeepTask.All.Select(t => t.Code)]);
        return MachineNoteVerb.Create(
            "upkeep",
            "Says what is due, by hours and by what benches show; notes what was done.",
            "offtape machine upkeep deck --did clean-path",
            [did],
            (parsed, note) =>
            {
                if (parsed.GetValue(did) is { } task)
                    note.Book.AddUpkeep(note.Machine, task, note.At, note.Text);
            },
            view => view.Upkeep,
            CliJsonContext.Default.IReadOnlyListUpkeepDue,
            Say
        );
    }

    private static void Say(MachineView view, Sheet sheet)
    {
        sheet.Line($"{view.Machine.Name} has run {MachineWords.Hours(view.Hours)}.").Line();
        MachineWords.Upkeep(view.Upkeep, sheet, withCautions: true);
    }
}
