namespace Offtape.Passes;

/// <summary>What is done at one step of a run of tape.</summary>
public enum RunStepKind
{
    Clean,
    NoiseReductionOff,
    CounterToZero,
    LineUp,
    Record,
    WaitForLeader,
    PlaySend,
    RunPast,
    Stop,
}

/// <summary>One step of a run of tape, in the order in which it is done.</summary>
/// <param name="Number">From 1.</param>
/// <param name="Kind">What it is, for programs.</param>
/// <param name="Text">What to do, with this pass's own times and levels.</param>
/// <param name="Caution">What to beware of while doing it; null: nothing.</param>
public sealed record RunStep(int Number, RunStepKind Kind, string Text, string? Caution);
