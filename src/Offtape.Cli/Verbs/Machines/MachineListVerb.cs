using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Json;
using Offtape.Cli.Shell;
using Offtape.Cli.Verbs.Log;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Machines;

/// <summary>Lists the machines of the studio.</summary>
internal static class MachineListVerb
{
    public static Verb Create()
    {
        var studio = StudioInUse.Option();
        var command = new Command("list", "Lists the machines of the studio.") { studio };
        return new Verb(
            command,
            "offtape machine list",
            (parsed, desk, _) =>
            {
                using var store = StudioInUse.Open(parsed, studio);
                var machines = new MachineBook(store).All();
                desk.Result(machines, CliJsonContext.Default.IReadOnlyListMachineView, sheet => Say(machines, sheet));
                return ExitCode.Done;
            }
        );
    }

    private static void Say(IReadOnlyList<MachineView> machines, Sheet sheet)
    {
        if (machines.Count == 0)
        {
            sheet.Line("There is no machine yet. Begin with offtape machine add NAME.");
            return;
        }
        sheet.Table(
            ["machine", "kind", ">passes", ">run", ">benches", "line-up", ">due"],
            machines.Select(m =>
                (string[])
                    [
                        m.Machine.Name,
                        m.Machine.Kind ?? LogWords.NotSaid,
                        $"{m.PassCount}",
                        $"{Words.Number(m.Hours.Total, 1)} h",
                        $"{m.Benches.Count}",
                        m.LineUps is [var newest, ..] ? LogWords.Day(newest.At) : "never",
                        $"{m.Upkeep.Count(u => u.IsDue)}",
                    ]
            )
        );
    }
}
