namespace Offtape.Studio;

/// <summary>How one reading of a machine went from bench to bench.</summary>
public sealed record BenchTrend
{
    public required string Quantity { get; init; }
    public int? Channel { get; init; }
    public string Condition { get; init; } = "";
    public required string Unit { get; init; }

    /// <summary>Days and figures, the oldest first.</summary>
    public required IReadOnlyList<BenchPoint> Points { get; init; }

    /// <summary>What the line through them changes by from the first day to the last, in <see cref="Unit"/>; null where no line can be laid.</summary>
    public double? Change { get; init; }

    /// <summary>Half of the interval that holds the true change 95 times in 100.</summary>
    public double? ChangeUncertainty { get; init; }

    /// <summary>From the first day to the last.</summary>
    public double SpanDays { get; init; }

    /// <summary>Why there is no line; null where there is one.</summary>
    public string? Reason { get; init; }

    /// <summary>The change is larger than its uncertainty.</summary>
    public bool IsChange => Change is { } change && ChangeUncertainty is { } uncertainty && Math.Abs(change) > uncertainty;
}

/// <summary>A figure of one day.</summary>
/// <param name="Day">YYYY-MM-DD.</param>
/// <param name="Value">In the unit of the trend.</param>
/// <param name="Uncertainty">Expanded, coverage factor 2; null where it is not known.</param>
public sealed record BenchPoint(string Day, double Value, double? Uncertainty);
