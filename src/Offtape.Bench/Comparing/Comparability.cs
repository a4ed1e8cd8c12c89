using System.Collections.Frozen;
using Offtape.Base;

namespace Offtape.Bench;

/// <summary>Which figures of two reports may be held against each other at all, and which differ between two runs of one machine.</summary>
internal static class Comparability
{
    private const double SameSpeed = 0.01;

    // What hangs on how the tape ran while it was recorded, or on where the heads stand: off tape one run is heard through the distance of two heads,
    // rewound two runs are added.
    private static readonly FrozenSet<string> OfTheRun = new[]
    {
        "meanFrequency",
        "speedError",
        "speedDifference",
        "drift",
        "weightedTwoSigma",
        "weightedPeak",
        "weightedRms",
        "unweightedPeak",
        "unweightedRms",
        "speedLine",
        "turningPart",
        "interChannelDelay",
        "interChannelDelayWander",
        "azimuth",
        "sendToReturnDelay",
        "headDistance",
        "delayAtSpeed",
        "modulationNoise",
    }.ToFrozenSet(StringComparer.Ordinal);

    // What one run of a tape has by chance: the wobble that happened, what it left about the tones, how the tape lay. Their uncertainty is that of
    // this stretch, not of the machine. How far two runs of a machine in order may differ, as a share of the figure or in its unit; common
    // practice, no source. Speed and drift of a run started by hand say nothing of the machine at all.
    private static readonly FrozenDictionary<string, (double Share, double Absolute)> OfThisStretch = new Dictionary<
        string,
        (double Share, double Absolute)
    >(StringComparer.Ordinal)
    {
        ["meanFrequency"] = (0, double.PositiveInfinity),
        ["speedDifference"] = (0, double.PositiveInfinity),
        ["drift"] = (0, double.PositiveInfinity),
        ["sendToReturnDelay"] = (0.01, 0),
        ["speedError"] = (0, 0.1),
        ["weightedTwoSigma"] = (0.3, 0),
        ["weightedPeak"] = (0.3, 0),
        ["weightedRms"] = (0.3, 0),
        ["unweightedPeak"] = (0.5, 0),
        ["unweightedRms"] = (0.3, 0),
        ["speedLine"] = (1, 0),
        ["interChannelDelay"] = (0, 10),
        ["interChannelDelayWander"] = (0.5, 0),
        ["azimuth"] = (0, 1),
        ["modulationNoise"] = (0, 2),
        ["intermodulation"] = (0.3, 0),
        ["intermodulationAndNoise"] = (0.5, 0),
    }.ToFrozenDictionary(StringComparer.Ordinal);

    // Runs from which a spread is known: RunMean states it as the uncertainty from then on.
    private const int RunsThatTellSpread = 3;

    /// <summary>Why no figure of one may be held against the other's; null where some may.</summary>
    internal static string? WhyNone(BenchReport a, BenchReport b)
    {
        if (a.How == HowTaken.ForeignTape != (b.How == HowTaken.ForeignTape))
            return "one was read from a tape that another machine recorded, and holds that machine as well";
        if (IsSameMachine(a, b) && OtherSpeed(a, b) is { } speeds)
            return speeds;
        return null;
    }

    /// <summary>Why this quantity may not; null where it may.</summary>
    internal static string? WhyNot(string quantity, BenchReport a, BenchReport b) =>
        quantity == "trebleLoss"
            ? "it is read at the highest frequency that is heard, another one each time; the response and its limit tell"
        : a.How != b.How && OfTheRun.Contains(quantity)
            ? $"taken differently: {Words(a.How)} and {Words(b.How)}; off tape wobble is combed by the heads, rewound it is that of two runs"
        : null;

    /// <summary>
    /// How far two runs of one machine may lie apart in this quantity, beside its uncertainty and in its unit; 0 where a run says what the machine
    /// is, or where so many were read that their spread is known.
    /// </summary>
    internal static double RunsApart(string quantity, double one, double other, BenchReport a, BenchReport b) =>
        a.Runs.Count >= RunsThatTellSpread && b.Runs.Count >= RunsThatTellSpread || !OfThisStretch.TryGetValue(quantity, out var apart)
            ? 0
            : Math.Max(apart.Absolute, apart.Share * Math.Max(Math.Abs(one), Math.Abs(other)));

    internal const string MayBeTheRun =
        "it differs as much between two runs of one machine; read three runs and more of each to tell a change";

    /// <summary>True where both are one machine's, as far as names tell: the same, or both without one.</summary>
    internal static bool IsSameMachine(BenchReport a, BenchReport b) =>
        string.Equals(a.Machine.Trim(), b.Machine.Trim(), StringComparison.OrdinalIgnoreCase);

    internal static string? OtherSpeed(BenchReport a, BenchReport b) =>
        a.Facts.SpeedCmPerSecond is { } one && b.Facts.SpeedCmPerSecond is { } other && Math.Abs(one / other - 1) > SameSpeed
            ? $"other speed: {new TapeSpeed(one)} and {new TapeSpeed(other)}"
            : null;

    internal static string Words(HowTaken how) =>
        how switch
        {
            HowTaken.OffTape => "off tape",
            HowTaken.Rewound => "rewound",
            _ => "from a foreign tape",
        };
}
