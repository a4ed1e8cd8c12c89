namespace Offtape.Bench;

/// <summary>One report's figure of a quantity, and how it stands against the first report's.</summary>
public sealed record ComparedFigure
{
    public required double? Value { get; init; }

    /// <summary>Expanded uncertainty (coverage factor 2), in the quantity's unit.</summary>
    public required double? Uncertainty { get; init; }

    /// <summary>What a hidden figure does not exceed; null otherwise.</summary>
    public required double? AtMost { get; init; }

    /// <summary>This less the first; null for the first itself, and where nothing can be said.</summary>
    public double? Difference { get; init; }

    /// <summary>How far a difference reaches by chance, 95 times in 100: both uncertainties, their squares added.</summary>
    public double? DifferenceUncertainty { get; init; }

    /// <summary>Null for the first report, against which the others are held.</summary>
    public ComparisonVerdict? Verdict { get; init; }

    /// <summary>Why nothing can be said, or why a difference is not taken for a change; null otherwise.</summary>
    public string? Reason { get; init; }
}

/// <summary>One quantity, channel and condition over all reports.</summary>
public sealed record ComparedReading
{
    public required string Quantity { get; init; }

    public required int? Channel { get; init; }

    public required string Condition { get; init; }

    public required string Unit { get; init; }

    /// <summary>One for each report, in their order.</summary>
    public required IReadOnlyList<ComparedFigure> Figures { get; init; }

    /// <summary>Whether any report differs from the first by more than chance.</summary>
    public bool IsChanged => Figures.Any(f => f.Verdict == ComparisonVerdict.Changed);

    /// <summary>The largest difference against what chance makes of it: above 1 it is a change.</summary>
    internal double Weight =>
        Figures
            .Where(f => f.Verdict is ComparisonVerdict.Changed or ComparisonVerdict.RunToRun)
            .Select(f => f.DifferenceUncertainty > 0 ? Math.Abs(f.Difference ?? 0) / f.DifferenceUncertainty.Value : double.MaxValue)
            .DefaultIfEmpty(0)
            .Max();
}

/// <summary>How a figure moves with time: a straight line through three days and more, each weighted by its uncertainty.</summary>
/// <param name="Quantity">As readings have it.</param>
/// <param name="Channel">From 1; null for the whole.</param>
/// <param name="Condition">As readings have it.</param>
/// <param name="Unit">Of the figure.</param>
/// <param name="PerYear">Slope in that unit a year of 365.25 days.</param>
/// <param name="PerYearUncertainty">Expanded, coverage factor 2.</param>
public sealed record ReadingTrend(string Quantity, int? Channel, string Condition, string Unit, double PerYear, double PerYearUncertainty);
