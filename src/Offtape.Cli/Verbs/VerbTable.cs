using System.CommandLine;
using Offtape.Cli.Shell;
using Offtape.Cli.Verbs.Bench;
using Offtape.Cli.Verbs.Demo;
using Offtape.Cli.Verbs.Log;
using Offtape.Cli.Verbs.Machines;
using Offtape.Cli.Verbs.Studio;
using Offtape.Cli.Verbs.Tapes;
using Offtape.Studio;

namespace Offtape.Cli.Verbs;

/// <summary>Every verb, in the order of the job.</summary>
internal static class VerbTable
{
    public static IReadOnlyList<Verb> Create() =>
        [
            Verb.Group(
                "kit",
                "Finds what to buy for the money there is.",
                "offtape kit find request.json --offers offers.csv",
                KitFindVerb.Create(),
                KitViewVerb.Create(),
                KitTemplateVerb.Create()
            ),
            Verb.Group(
                "patch",
                "Says what plugs into what, and what of it hurts.",
                "offtape patch plan rig.json --to patch",
                PatchPlanVerb.Create(),
                PatchCheckVerb.Create(),
                PatchPartsVerb.Create()
            ),
            LevelsVerb.Create(),
            Verb.Group(
                "bench",
                "Measures a machine: what it does to a sound, and whether it is healthy.",
                "offtape bench signals --to deck",
                LineUpVerb.Create(),
                SignalsVerb.Create(),
                ReadVerb.Create(),
                ToneVerb.Create(),
                CompareVerb.Create()
            ),
            SendVerb.Create(),
            ReturnVerb.Create(),
            Verb.Group(
                "machine",
                "Keeps the book of each machine: line-up, benches, hours, upkeep.",
                "offtape machine show deck",
                MachineAddVerb.Create(),
                MachineListVerb.Create(),
                MachineShowVerb.Create(),
                MachineLineUpVerb.Create(),
                MachineUpkeepVerb.Create(),
                MachineHoursVerb.Create()
            ),
            Verb.Group(
                "tape",
                "Keeps the tapes: what stands where, what is free, where sounds fit.",
                "offtape tape fit stems --speed 9.525",
                TapeAddVerb.Create(),
                TapeListVerb.Create(),
                TapeShowVerb.Create(),
                TapeFitVerb.Create(),
                TapeBoxVerb.Create(),
                TapeUseVerb.Create(),
                TapeMarkVerb.Create()
            ),
            Verb.Group(
                "log",
                "Tells what was printed where, and which tape and machine made a file.",
                "offtape log find kit-tape.wav",
                LogListVerb.Create(),
                LogFindVerb.Create(),
                LogShowVerb.Create(),
                LogSetVerb.Create(),
                LogRemoveVerb.Create(),
                LogVerifyVerb.Create(),
                LogRerunVerb.Create(),
                LogExportVerb.Create(),
                LogRebuildVerb.Create(),
                LogCloseVerb.Create()
            ),
            LoudnessVerb.Create(),
            OpenVerb.Create(),
            DemoVerb.Create(),
            Verb.Group(
                "calc",
                "Works out a figure of tape, and shows its formula.",
                "offtape calc gap --distance 38.1 --speed 19.05",
                [.. Calculations.All.Select(CalculationVerb.Create)]
            ),
        ];

    public static Verb? Find(IReadOnlyList<Verb> verbs, Command command)
    {
        foreach (var verb in verbs)
        {
            if (verb.Command == command)
                return verb;
            if (Find(verb.Parts, command) is { } part)
                return part;
        }
        return null;
    }
}
