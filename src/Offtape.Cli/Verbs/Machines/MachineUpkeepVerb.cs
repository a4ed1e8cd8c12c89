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
        var name = MachineOptions.Name();
        var did = Quantities.Choice("--did", "note this as done", [.. UpkeepTask.All.Select(t => t.Code)]);
        var date = MachineOptions.Date();
        var note = MachineOptions.Note();
        var studio = StudioInUse.Option();
        var command = new Command("upkeep", "Says what is due, by hours and by what benches show; notes what was done.")
        {
            name,
            did,
            date,
            note,
            studio,
        };
        return new Verb(
            command,
            "offtape machine upkeep deck --did clean-path",
            (parsed, desk, _) =>
            {
                var (machine, at) = (MachineOptions.Name(parsed, name), MachineOptions.At(parsed, date));
                using var store = StudioInUse.Open(parsed, studio);
                var book = new MachineBook(store);
                if (parsed.GetValue(did) is { } task)
                    book.AddUpkeep(machine, task, at, parsed.GetValue(note) ?? "");
                var view = book.Find(machine);
                desk.Result(view.Upkeep, CliJsonContext.Default.IReadOnlyListUpkeepDue, sheet => Say(view, sheet));
                return ExitCode.Done;
            }
        );
    }

    private static void Say(MachineView view, Sheet sheet)
    {
        sheet.Line($"{view.Machine.Name} has run {MachineWords.Hours(view.Hours)}.").Line();
        MachineWords.Upkeep(view.Upkeep, sheet, withCautions: true);
    }
}
