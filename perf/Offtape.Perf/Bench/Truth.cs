using Offtape.Bench;
using Offtape.Simulator;

namespace Offtape.Perf.Bench;

/// <summary>What a reading should have been: matched with it by quantity, channel and condition, all three as the reading has them.</summary>
/// <param name="Quantity">As <see cref="Reading.Quantity"/>.</param>
/// <param name="Channel">As <see cref="Reading.Channel"/>.</param>
/// <param name="Condition">As <see cref="Reading.Condition"/>.</param>
/// <param name="Value">The truth in the reading's unit; null where nothing may be stated: a reading with a value is then a fault.</param>
internal sealed record Truth(string Quantity, int? Channel, string Condition, double? Value);

/// <summary>One simulated run of a check signal, and what was located of it: all that a truth is worked out from.</summary>
internal sealed record BenchTrial(
    MachineModel Model,
    ulong Seed,
    HowTaken How,
    BenchSheet Sheet,
    RunOptions Options,
    SimulatedReturn Return,
    BenchCapture Capture,
    MachineFacts Facts,
    TrialMemo Memo
);
