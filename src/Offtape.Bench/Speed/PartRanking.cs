using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>
/// Which turning part may be behind the lines of a speed curve, by Bayes' rule: how likely a part turns that often, times how often it is
/// what is wrong; a line may be a multiple of the turns, and is the more likely one where the others are seen as well. Candidates in order,
/// never certainty: two parts of one speed cannot be told apart by their speed.
/// </summary>
internal static class PartRanking
{
    // Eccentricity makes the turns themselves; a flat or a dent its multiples, each less often the strongest (common practice, no source).
    private static readonly double[] MultipleShares = [0.72, 0.17, 0.07, 0.04];

    // A line that is none of the parts thought of: anything from 0.1 to 200 Hz alike, over the natural logarithm.
    private static readonly double OtherDensity = 0.35 / Math.Log(200 / 0.1);

    // Two lines are multiples of one turning when they agree within this and within what the spectrum resolves.
    private const double MultipleTolerance = 0.006;

    /// <param name="lines">Lines of speed as they are on the transport.</param>
    /// <param name="lobeHz">How near to each other two lines are one.</param>
    /// <param name="ranges">What turns in such a machine.</param>
    /// <returns>Most likely first, one for each kind of part.</returns>
    internal static IReadOnlyList<PartCandidate> Rank(IReadOnlyList<SpeedLine> lines, double lobeHz, IReadOnlyList<PartRange> ranges)
    {
        if (lines.Count == 0 || ranges.Count == 0)
            return [];
        var shares = Shares(lines);
        var scores = new Dictionary<TurningPart, (double Score, double Best, double TurnsHz, PartRange Range)>();
        for (var i = 0; i < lines.Count; i++)
        {
            var held = Held(lines, i, lobeHz, ranges);
            var total = OtherDensity + held.Sum(h => h.Weight);
            foreach (var (range, turns, weight) in held)
            {
                var part = shares[i] * weight / total;
                var (score, best, hz, kept) = scores.GetValueOrDefault(range.Part, (0, 0, turns, range));
                scores[range.Part] = part > best ? (score + part, part, turns, range) : (score + part, best, hz, kept);
            }
        }
        return
        [
            .. scores
                .Select(s => Candidate(s.Key, s.Value.Score, s.Value.TurnsHz, s.Value.Range, lines, lobeHz))
                .OrderByDescending(c => c.Likelihood),
        ];
    }

    // A fault shows in the weighted figure when it is fast and in the unweighted when it is slow: a line counts by its share of both.
    private static double[] Shares(IReadOnlyList<SpeedLine> lines)
    {
        double Plain(SpeedLine l) => l.PeakPercent * l.PeakPercent;
        double Weighted(SpeedLine l) => Plain(l) * Math.Pow(10, WowFlutterWeighting.GainDbAt(l.FrequencyHz) / 10);
        var (plain, weighted) = (lines.Sum(Plain), lines.Sum(Weighted));
        return [.. lines.Select(l => 0.5 * Plain(l) / plain + 0.5 * Weighted(l) / Math.Max(weighted, 1e-300))];
    }

    private static List<(PartRange Range, double TurnsHz, double Weight)> Held(
        IReadOnlyList<SpeedLine> lines,
        int index,
        double lobeHz,
        IReadOnlyList<PartRange> ranges
    )
    {
        var held = new List<(PartRange, double, double)>();
        for (var multiple = 1; multiple <= MultipleShares.Length; multiple++)
        {
            var turns = lines[index].FrequencyHz / multiple;
            var support = MultipleShares[multiple - 1];
            for (var other = 1; other <= MultipleShares.Length; other++)
            {
                if (other == multiple)
                    continue;
                var isSeen = IsSeen(lines, turns * other, lobeHz);
                // The turns themselves are nearly always seen, their multiples often.
                support *=
                    other == 1 ? (isSeen ? 1.6 : 0.25)
                    : isSeen ? 1.3
                    : 0.9;
            }
            foreach (var range in ranges)
                held.Add((range, turns, range.Weight * support * range.DensityAt(turns)));
        }
        return held;
    }

    private static bool IsSeen(IReadOnlyList<SpeedLine> lines, double hz, double lobeHz) =>
        lines.Any(l => Agrees(l.FrequencyHz, hz, lobeHz));

    private static bool Agrees(double lineHz, double hz, double lobeHz) =>
        Math.Abs(lineHz - hz) < Math.Max(MultipleTolerance * hz, 0.35 * lobeHz);

    private static PartCandidate Candidate(
        TurningPart part,
        double score,
        double turnsHz,
        PartRange range,
        IReadOnlyList<SpeedLine> lines,
        double lobeHz
    )
    {
        var own = Enumerable
            .Range(1, MultipleShares.Length)
            .SelectMany(k => lines.Where(l => Agrees(l.FrequencyHz, k * turnsHz, lobeHz)))
            .Select(l => l.FrequencyHz);
        return new(part, turnsHz, score, [.. own.Distinct().Order()], Words(part, turnsHz, range));
    }

    private static string Words(TurningPart part, double turnsHz, PartRange range)
    {
        var turns = SpeedReadings.Frequency(turnsHz);
        var name = PartNames.WithArticle(part);
        if (range.DiameterMm is not { } middle)
            return $"{name} may turn {turns} times a second";
        var mm = Base.Words.Number(middle * range.TurnsPerSecond / turnsHz, 1);
        return $"{name} of {mm} mm turns {turns} times a second";
    }
}
