using Offtape.Simulator;

namespace Offtape.Bench.Tests;

/// <summary>Reports of simulated machines, of part of the check signal where a test wants no more.</summary>
internal static class SimulatedMachines
{
    internal static BenchReport Report(
        MachineModel model,
        ulong seed,
        HowTaken how,
        string[] parts,
        RunOptions? options = null,
        MachineFacts? facts = null
    )
    {
        var sheet = BenchSheetMaker.Make(new BenchSheetRequest { ChannelCount = model.TrackCount, Parts = parts });
        var machine = how == HowTaken.OffTape ? model.OffTape() : model.Rewound();
        var back = new SimulatedMachine(machine, seed).Run(BenchSignal.Render(sheet), sheet.SampleRateHz, options ?? new RunOptions());
        var run = Assert.Single(
            BenchLocator.Locate(back.Channels, sheet.SampleRateHz, how, sheet, cancellation: TestContext.Current.CancellationToken).Runs
        );
        var known = facts ?? new MachineFacts { Name = model.Name, SpeedCmPerSecond = model.SpeedCmPerSecond };
        var findings = BenchReaders.Run(run, known, TestContext.Current.CancellationToken);
        return new BenchReport
        {
            Machine = known.Name,
            How = how,
            Date = null,
            Capture = "simulated",
            SheetId = sheet.SheetId,
            OperatingLevelDbfs = sheet.OperatingLevelDbfs,
            Facts = ReportFacts.From(known),
            Runs = [ReportRun.From(run)],
            Parts = [.. sheet.Parts.Select(p => new ReportPart(p.Name, run.Find(p.Name) is not null, null))],
            Readings = findings.Readings,
            Curves = findings.Curves,
            Notices = findings.Notices,
            Summary = "",
        };
    }
}
