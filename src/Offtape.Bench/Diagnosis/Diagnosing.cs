using Offtape.Base;

namespace Offtape.Bench;

/// <summary>
/// Holds the rules against a report's readings. A rule that holds begins with its own odds; each piece of evidence multiplies them; rivals of
/// one group are scaled down where together they would be surer than any of them may be.
/// </summary>
public static class Diagnosing
{
    // No reading makes a cause certain.
    private const double MostConfident = 0.9;
    private const double Probable = 0.6;
    private const double Possible = 0.3;

    // With less than this nothing is said of a machine's health: how it runs, how it reaches and how quiet it is.
    private static readonly string[] Needed = ["weightedTwoSigma", "responseSpread", "signalToNoiseAWeighted"];

    public static Diagnosis Of(IReadOnlyList<Reading> readings, IReadOnlyList<Notice> notices) => Of(readings, notices, RuleBook.Own);

    internal static Diagnosis Of(IReadOnlyList<Reading> readings, IReadOnlyList<Notice> notices, RuleBook book)
    {
        var held = book.Rules.Select(r => Hold(r, readings, notices, book)).OfType<DiagnosisFinding>().ToArray();
        var groups = held.GroupBy(f => f.Group).ToDictionary(g => g.Key, g => g.Sum(f => f.Confidence), StringComparer.Ordinal);
        DiagnosisFinding[] findings =
        [
            .. held.Select(f =>
                    groups[f.Group] > MostConfident
                        ? Worded(f with { Confidence = f.Confidence * MostConfident / groups[f.Group] })
                        : Worded(f)
                )
                // Rivals stand beside each other; what something is surely behind comes before what may be nothing.
                .OrderByDescending(f => groups[f.Group])
                .ThenBy(f => f.Group, StringComparer.Ordinal)
                .ThenByDescending(f => f.Confidence),
        ];
        var isEnough = Needed.All(q => readings.Any(r => r.Quantity == q && r.Value is not null));
        return new Diagnosis
        {
            Findings = findings,
            IsEnough = isEnough,
            Summary = Sentence(findings, isEnough),
        };
    }

    private static string Sentence(DiagnosisFinding[] findings, bool isEnough)
    {
        if (findings.Length == 0)
            return isEnough
                ? "Nothing that was read points to a fault: leave it as it is."
                : "Nothing that was read points to a fault, but too little was read to call it healthy.";
        var first = findings[0];
        var others = findings.Skip(1).Where(f => f.Group != first.Group).DistinctBy(f => f.Group).Take(2).Select(f => f.Finding).ToArray();
        return $"It may be {first.Finding} ({first.Likelihood})"
            + (others.Length > 0 ? $"; besides, {Words.List(others)}" : "")
            + ". Nothing of it is certain: try what costs least first.";
    }

    private static DiagnosisFinding? Hold(DiagnosisRule rule, IReadOnlyList<Reading> readings, IReadOnlyList<Notice> notices, RuleBook book)
    {
        var seen = new List<string>();
        foreach (var test in rule.All)
        {
            if (RuleTestHolds.Seen(test, readings, notices) is not { } words)
                return null;
            seen.AddRange(words);
        }
        if (rule.Any.Count > 0)
        {
            var any = rule.Any.Select(t => RuleTestHolds.Seen(t, readings, notices)).OfType<IReadOnlyList<string>>().ToArray();
            if (any.Length == 0)
                return null;
            seen.AddRange(any.SelectMany(w => w));
        }
        if (rule.None.Any(t => RuleTestHolds.Seen(t, readings, notices) is not null))
            return null;
        var odds = rule.Likely / (1 - rule.Likely);
        var evidence = new List<string>();
        foreach (var piece in rule.Evidence.Where(e => e.All.All(t => RuleTestHolds.Seen(t, readings, notices) is not null)))
        {
            odds *= piece.Times;
            evidence.Add($"{(piece.Times > 1 ? "for it" : "against it")}: {piece.Says}");
        }
        return new DiagnosisFinding
        {
            Rule = rule.Id,
            Group = rule.Group,
            Finding = rule.Finding,
            Confidence = Math.Min(MostConfident, odds / (1 + odds)),
            Likelihood = "",
            Reason = rule.Reason,
            Seen = [.. seen.Distinct()],
            Evidence = evidence,
            Steps = [.. rule.Try.Select(s => new DiagnosisStep(s.Do, s.Caution is { } word ? book.Cautions[word] : null))],
            Source = rule.Source,
        };
    }

    private static DiagnosisFinding Worded(DiagnosisFinding finding) =>
        finding with
        {
            Confidence = Math.Round(finding.Confidence, 3),
            Likelihood = finding.Confidence switch
            {
                >= Probable => "probable",
                >= Possible => "possible",
                _ => "less likely",
            },
        };
}
