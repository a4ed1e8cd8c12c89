namespace Offtape.Bench;

/// <summary>What readings point to, the likeliest first. Rivals stand beside each other; none of it is certain.</summary>
public sealed record Diagnosis
{
    /// <summary>In a sentence: what to look at first, or that nothing points to a fault.</summary>
    public required string Summary { get; init; }

    /// <summary>Whether enough was read to say that a machine is healthy.</summary>
    public required bool IsEnough { get; init; }

    /// <summary>Group by group, the likeliest of each first; empty for a machine in good order.</summary>
    public required IReadOnlyList<DiagnosisFinding> Findings { get; init; }
}

/// <summary>One thing that readings may mean.</summary>
public sealed record DiagnosisFinding
{
    /// <summary>Name of its rule.</summary>
    public required string Rule { get; init; }

    /// <summary>Findings of one group are rivals for one cause.</summary>
    public required string Group { get; init; }

    /// <summary>What it may be.</summary>
    public required string Finding { get; init; }

    /// <summary>0 to 1, never 1; by common practice, not by counting machines.</summary>
    public required double Confidence { get; init; }

    /// <summary>The same in a word: probable, possible, less likely.</summary>
    public required string Likelihood { get; init; }

    public required string Reason { get; init; }

    /// <summary>The readings that it follows from.</summary>
    public required IReadOnlyList<string> Seen { get; init; }

    /// <summary>What speaks for it, or against it, beyond these.</summary>
    public required IReadOnlyList<string> Evidence { get; init; }

    /// <summary>What to try, least invasive first.</summary>
    public required IReadOnlyList<DiagnosisStep> Steps { get; init; }

    public required string Source { get; init; }
}

/// <summary>One step of what to try.</summary>
/// <param name="Text">What to do.</param>
/// <param name="Caution">What to beware of while doing it; null: nothing.</param>
public sealed record DiagnosisStep(string Text, string? Caution);
