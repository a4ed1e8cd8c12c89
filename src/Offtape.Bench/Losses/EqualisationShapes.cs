using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>What a tape of one equalisation sounds like on a machine set to another, for the equalisations that a speed has.</summary>
internal static class EqualisationShapes
{
    // Within this a speed is the nominal one.
    private const double SpeedTolerance = 0.02;

    internal sealed record Shape(Equalisation Recorded, Equalisation Replayed)
    {
        internal string Words => $"recorded {Name(Recorded)}, replayed {Name(Replayed)}";

        internal double Db(double hz) => Recorded.HeardOn(Replayed, hz) - Recorded.HeardOn(Replayed, 1000);

        private static string Name(Equalisation one) => $"{one.TrebleMicroseconds:0.#} µs";
    }

    /// <summary>Every pair in force at the machine's speed that is no pair of equals; none where the speed is not known.</summary>
    internal static IReadOnlyList<Shape> For(MachineFacts facts)
    {
        if (facts.SpeedCmPerSecond is not { } speed)
            return [];
        // Type II and IV share their constants, and so do the cassette and the slow reel: one of each.
        var known = Equalisations
            .All.Where(e => e.IsCurrent && Math.Abs(e.CmPerSecond / speed - 1) < SpeedTolerance)
            .DistinctBy(e => (e.TrebleMicroseconds, e.BassMicroseconds))
            .ToArray();
        return [.. from a in known from b in known where a != b select new Shape(a, b)];
    }
}
