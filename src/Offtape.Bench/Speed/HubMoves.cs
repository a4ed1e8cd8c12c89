using Offtape.Base;

namespace Offtape.Bench;

/// <summary>
/// What several runs of one machine say of its hubs together. Only a hub with its tape turns at another speed at another place of a tape: a line
/// that moves from run to run while others stay is one; a line that stays is none, if the runs were of places far apart, which nobody but the
/// user knows.
/// </summary>
internal static class HubMoves
{
    // Two runs differ by their mean speed, and a spectrum of a minute resolves so much.
    private const double SameShare = 0.02;
    private const double SameHz = 0.025;

    // Of two lines that may be one that moved, neither is so much the stronger.
    private const double MostRatio = 2.5;
    private const double LeastPercent = 0.005;

    internal static IEnumerable<Notice> Of(IReadOnlyList<Findings> runs, MachineFacts facts)
    {
        if (facts.SpeedCmPerSecond is not { } speed)
            return [];
        // A line off tape is combed by how far the heads stand apart, and so may be missing; what cannot be read there says nothing.
        var lines = runs.Select(Lines).Where(l => l.Count > 0).ToArray();
        if (lines.Length < 2)
            return [];
        var hubs = UsualParts.For(facts, speed).Where(r => r.Part == TurningPart.Hub).ToArray();
        bool MayBeHub(double hz) => hubs.Any(h => Math.Abs(Math.Log(hz / h.TurnsPerSecond)) < 2 * h.Spread);
        var (first, others) = (lines[0], lines[1..]);
        var notices = new List<Notice>();
        foreach (var line in first.Where(l => MayBeHub(l.Hz)))
        {
            var places = others.Select(o => Where(line, first, o)).ToArray();
            if (places.All(p => p is { } hz && IsSame(hz, line.Hz)))
                notices.Add(
                    new Notice(
                        "hub-stays",
                        $"The line at {SpeedReadings.Frequency(line.Hz)} Hz stays in all {Words.Count(lines.Length, "run")}: where they are of the "
                            + "start and the end of a tape it is no hub, whose pack would have changed. Of runs of one place nothing can be told."
                    )
                );
            else if (places.All(p => p is { } hz && MayBeHub(hz)))
                notices.Add(
                    new Notice(
                        "hub-moved",
                        $"The line at {SpeedReadings.Frequency(line.Hz)} Hz of the first run stands at "
                            + $"{Words.List([.. places.Select(p => SpeedReadings.Frequency(p!.Value) + " Hz")])} in the "
                            + $"{(places.Length == 1 ? "other" : "others")}, and no other part moves so: probably a hub with its tape, of "
                            + $"{Words.List([.. places.Prepend(line.Hz).Select(p => Words.Number(Diameter(speed, p!.Value), 0) + " mm")])}. "
                            + "Whether supply or take-up says whether it turned faster or slower: the one that fills up slows down."
                    )
                );
        }
        return notices;
    }

    /// <summary>Where a line of one run stands in another: at the same place, else at the one line of about its size that the first does not have.</summary>
    private static double? Where(
        (double Hz, double Percent) line,
        List<(double Hz, double Percent)> own,
        List<(double Hz, double Percent)> other
    )
    {
        var same = other.Where(o => IsSame(o.Hz, line.Hz)).ToArray();
        if (same.Length > 0)
            return same[0].Hz;
        var moved = other
            .Where(o => !own.Exists(l => IsSame(l.Hz, o.Hz)) && Math.Abs(Math.Log(o.Percent / line.Percent)) < Math.Log(MostRatio))
            .ToArray();
        return moved.Length == 1 ? moved[0].Hz : null;
    }

    private static bool IsSame(double a, double b) => Math.Abs(a - b) < Math.Max(SameHz, SameShare * b);

    private static double Diameter(double speedCmPerSecond, double turnsHz) => 10 * speedCmPerSecond / (Math.PI * turnsHz);

    private static List<(double Hz, double Percent)> Lines(Findings findings) =>
        [
            .. findings
                .Readings.Where(r => r.Quantity == "speedLine" && r.Value > LeastPercent)
                .Select(r => (Hz: double.Parse(r.Condition.Split(' ')[0]), Percent: r.Value!.Value)),
        ];
}
