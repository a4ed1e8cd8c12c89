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
        var add = Quantities.Number(
            "--add",
            "H",
            "hours it ran besides the passes of the log; below 0 takes back",
            -MachineBook.MostHoursAtOnce,
            MachineBook.MostHoursAtOnce
        );
        return MachineNoteVerb.Create(
            "hours",
            "Says how long a machine has run: what its passes took, and what you add.",
            "offtape machine hours deck --add 2.5",
            [add],
            (parsed, note) =>
            {
                if (parsed.GetValue(add) is { } hours)
                    note.Book.AddHours(note.Machine, hours, note.At, note.Text);
            },
            view => view.Hours,
            CliJsonContext.Default.MachineHours,
            Say
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
