using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Machines;

/// <summary>Shows all that is known of a machine.</summary>
internal static class MachineShowVerb
{
    public static Verb Create()
    {
        var name = MachineOptions.Name();
        var studio = StudioInUse.Option();
        var command = new Command("show", "Shows a machine: line-up, hours, how its benches went, what is due.") { name, studio };
        return new Verb(
            command,
            "offtape machine show deck",
            (parsed, desk, _) =>
            {
                using var store = StudioInUse.Open(parsed, studio);
                var view = new MachineBook(store).Find(MachineOptions.Name(parsed, name));
                desk.Result(view, CliJsonContext.Default.MachineView, sheet => Say(view, sheet));
                return ExitCode.Done;
            }
        );
    }

    private static void Say(MachineView view, Sheet sheet)
    {
        sheet.Line(view.Machine.Name);
        MachineWords.Facts(view, sheet);
        if (view.LineUps.Count > 0)
        {
            sheet.Line().Line("Line-up");
            MachineWords.LineUps([.. view.LineUps.Take(3)], sheet);
        }
        if (view.Benches.Count > 0)
        {
            sheet.Line().Line("Benches");
            sheet.Table(["day", "how", "what it said"], view.Benches.Select(b => (string[])[b.Day, b.How, b.Summary]));
        }
        if (view.Trends.Count > 0)
        {
            sheet.Line().Line("From bench to bench");
            MachineWords.Trends(view.Trends, sheet);
        }
        sheet.Line().Line("Upkeep");
        MachineWords.Upkeep(view.Upkeep, sheet, withCautions: false);
    }
}
