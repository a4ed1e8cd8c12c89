namespace Offtape.Studio;

/// <summary>A machine as the log knows it.</summary>
public sealed record MachineView
{
    public required MachineEntry Machine { get; init; }
    public required MachineHours Hours { get; init; }
    public required long PassCount { get; init; }

    /// <summary>The newest first.</summary>
    public required IReadOnlyList<LineUp> LineUps { get; init; }

    /// <summary>The oldest first.</summary>
    public required IReadOnlyList<LoggedBench> Benches { get; init; }

    /// <summary>Readings of two benches or more that were taken in the same way.</summary>
    public required IReadOnlyList<BenchTrend> Trends { get; init; }

    public required IReadOnlyList<UpkeepDue> Upkeep { get; init; }
}

/// <summary>What a machine has run.</summary>
/// <param name="Before">Before the log began, as typed.</param>
/// <param name="Typed">Besides its passes, as typed.</param>
/// <param name="Recording">Passes that came back.</param>
/// <param name="Replaying">Their second runs, where it cannot replay while it records.</param>
/// <param name="NotBackCount">Passes that have not come back; they are not counted.</param>
public sealed record MachineHours(double Before, double Typed, double Recording, double Replaying, long NotBackCount)
{
    public double Total => Before + Typed + Recording + Replaying;
}
