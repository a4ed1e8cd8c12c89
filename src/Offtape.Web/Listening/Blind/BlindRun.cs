namespace Offtape.Web.Listening;

/// <summary>
/// A blind comparison: A and B are named, X is one of them, drawn anew for each trial. Which it was is told when the run is over, not before.
/// </summary>
internal sealed record BlindRun
{
    public const string LetterA = "a";
    public const string LetterB = "b";
    public const string LetterX = "x";

    public required string Id { get; init; }

    public required HeardSet Set { get; init; }

    /// <summary>The variant that A is.</summary>
    public required string VariantA { get; init; }

    public required string VariantB { get; init; }

    /// <summary>Linear, by variant: in a blind comparison both are always equally loud.</summary>
    public required IReadOnlyDictionary<string, double> Gains { get; init; }

    /// <summary>For each trial whether X is B. Never leaves the server before the run is over.</summary>
    public required IReadOnlyList<bool> IsB { get; init; }

    /// <summary>What was answered so far: X is B.</summary>
    public IReadOnlyList<bool> Answers { get; init; } = [];

    /// <summary>Ended before all trials were answered.</summary>
    public bool IsCutShort { get; init; }

    public int Planned => IsB.Count;

    public bool IsOver => IsCutShort || Answers.Count == Planned;

    /// <summary>From 1.</summary>
    public int TrialNumber => Answers.Count + 1;

    /// <summary>Of those answered; told once it is over.</summary>
    public int? Right => IsOver ? Answers.Where((a, i) => a == IsB[i]).Count() : null;

    /// <summary>
    /// What a letter is in the trial that is under way, or was in one before it: a piece of sound may still be asked for when the answer is
    /// given. Null: no such letter, or a trial to come.
    /// </summary>
    public string? VariantOf(string letter, int trial) =>
        trial < 1 || trial > Math.Min(TrialNumber, Planned)
            ? null
            : letter switch
            {
                LetterA => VariantA,
                LetterB => VariantB,
                LetterX => IsB[trial - 1] ? VariantB : VariantA,
                _ => null,
            };
}
