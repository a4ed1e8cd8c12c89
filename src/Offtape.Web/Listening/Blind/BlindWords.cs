using Offtape.Base;
using Offtape.Report;

namespace Offtape.Web.Listening;

/// <summary>What a blind comparison showed, in plain words.</summary>
internal static class BlindWords
{
    /// <summary>Guessing gets through in 1 of 20 runs: the usual line, and no more than a line.</summary>
    public const double Line = 0.05;

    /// <summary>What has to be right of so many, before it begins.</summary>
    public static string Before(int trials) =>
        GuessingOdds.Needed(trials, Line) is { } needed
            ? $"{needed} of {trials} have to be right: by guessing that happens in {Share(GuessingOdds.AtLeast(needed, trials))}."
            : $"{Words.Count(trials, "trial")} are too few to tell anything.";

    public static string After(BlindRun run, IReadOnlyList<BlindRun> ofThisPair)
    {
        if (run.Right is not { } right || run.Answers.Count == 0)
            return "Nothing was answered, so nothing was learnt.";
        var count = run.Answers.Count;
        var odds = GuessingOdds.AtLeast(right, count);
        var words =
            $"{right} of {count} right. By guessing alone one gets as many or more in {Share(odds)}. "
            + (
                odds <= Line
                    ? "So it was hardly luck: this ear tells the two apart."
                    : "So it may well have been luck: this run did not tell the two apart. That does not show that they sound alike; a longer run finds a fainter difference."
            );
        if (run.IsCutShort && count < run.Planned)
            words +=
                $" You stopped after {count} of {run.Planned}. Nothing had been shown by then, so the figure holds for the {count}; to stop because of a count that one has seen would make it worthless.";
        var all = ofThisPair.Sum(r => r.Answers.Count);
        if (ofThisPair.Count > 1)
        {
            var rightOfAll = ofThisPair.Sum(r => r.Right ?? 0);
            words +=
                $" This was run {ofThisPair.Count} of this pair. The best of several runs says little; all of them together: {rightOfAll} of {all}, by guessing in {Share(GuessingOdds.AtLeast(rightOfAll, all))}.";
        }
        return words;
    }

    private static string Share(double odds) =>
        odds >= 0.00095 ? $"{Quantity.Of(100 * odds, odds >= 0.0995 ? 0 : 1, "%")} of runs" : "less than 1 in 1000 runs";
}
