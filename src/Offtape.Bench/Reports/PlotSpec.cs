using Offtape.Report;

namespace Offtape.Bench;

/// <summary>How the curves of one quantity are drawn: one plot for all channels and conditions of it.</summary>
/// <param name="Quantity">As <see cref="ReadingCurve.Quantity"/>.</param>
/// <param name="Title">Of the plot.</param>
/// <param name="Y">Name of its upright axis.</param>
/// <param name="Says">The sentence under it.</param>
internal sealed record PlotSpec(string Quantity, string Title, string Y, string Says)
{
    /// <summary>Conditions that are drawn, by their beginning; empty for all.</summary>
    public IReadOnlyList<string> Conditions { get; init; } = [];

    public double? MinX { get; init; }

    public double? MaxX { get; init; }

    public double? MinY { get; init; }

    public double? MaxY { get; init; }

    public AxisScale Scale { get; init; } = AxisScale.Linear;

    /// <summary>A level line, where there is one to hold against.</summary>
    public (double Y, string Words)? Mark { get; init; }

    public bool AsBars { get; init; }
}
