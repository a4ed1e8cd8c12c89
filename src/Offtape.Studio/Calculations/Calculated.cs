using Offtape.Report;

namespace Offtape.Studio;

/// <summary>An answer with its formula, in the order in which it is read; a terminal and a page draw the same.</summary>
/// <param name="Answer">The figures, for other programs.</param>
/// <param name="Formula">What was worked out.</param>
public sealed record Calculated(object Answer, string Formula)
{
    /// <summary>Sentences that say it all.</summary>
    public IReadOnlyList<string> Lead { get; init; } = [];

    /// <summary>Names and values.</summary>
    public IReadOnlyList<(string Name, string Value)> Facts { get; init; } = [];

    public ReportTable? Table { get; init; }

    /// <summary>Whether a limit that was named is kept; empty where none was.</summary>
    public string Verdict { get; init; } = "";

    /// <summary>Nothing that was asked for fell outside a limit.</summary>
    public bool IsWithin { get; init; } = true;

    /// <summary>What the figures do not say, and what to mind at the machine; empty: nothing.</summary>
    public string Caution { get; init; } = "";
}
