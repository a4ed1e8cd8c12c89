using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Machines;

/// <summary>Says how long a machine has run, and takes in what it ran besides.</summary>
internal static class MachineHoursVerb
{
    public static Verb Create()
    {
        var name = MachineOptions.Name();
        var add = Quantities.Number(
            "--add",
            "H",
            "hours it ran besides the passes of the log; below 0 takes back",
            -MachineBook.MostHoursAtOnce,
            MachineBook.MostHoursAtOnce
        );
        var date = MachineOptions.Date();
        var note = MachineOptions.Note();
        var studio = StudioInUse.Option();
        var command = new Command("hours", "Says how long a machine has run: what its passes took, and what you add.")
        {
            name,
            add,
            date,
            note,
            studio,
        };
        return new Verb(
            command,
            "offtape machine hours deck --add 2.5",
            (parsed, desk, _) =>
            {
                var (machine, at) = (MachineOptions.Name(parsed, name), MachineOptions.At(parsed, date));
                using var store = StudioInUse.Open(parsed, studio);
                var book = new MachineBook(store);
                if (parsed.GetValue(add) is { } hours)
                    book.AddHours(machine, hours, at, parsed.GetValue(note) ?? "");
                var view = book.Find(machine);
                desk.Result(view.Hours, CliJsonContext.Default.MachineHours, sheet => Say(view, sheet));
                return ExitCode.Done;
            }
        );
    }

    private static void Say(MachineView view, Sheet sheet)
    {
        (string Words, double Hours)[] rows =
        [
            ("before the log began", view.Hours.Before),
            ("added by hand", view.Hours.Typed),
            ("recording passes", view.Hours.Recording),
            ("replaying them", view.Hours.Replaying),
            ("in all", view.Hours.Total),
        ];
        sheet.Table(["", ">"], rows.Select(r => (string[])[r.Words, $"{Words.Number(r.Hours, 2)} h"]));
        if (view.Hours.NotBackCount > 0)
            sheet.Paragraph(
                $"Not counted: {Words.Count(view.Hours.NotBackCount, "pass", "passes")} that did not come back. Spooling is not counted either; add it with --add."
            );
    }
}
