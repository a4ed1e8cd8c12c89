namespace Offtape.Perf.Bench;

/// <summary>Every truth that a simulated run can be held against: one line for each kind of reading.</summary>
internal static class BenchTruths
{
    internal static IReadOnlyList<Func<BenchTrial, IEnumerable<Truth>>> All { get; } =
    [TrackTruths.Of, SpeedTruths.Of, SoundTruths.Of, NoiseTruths.Of, PathTruths.Of];
}
