using Offtape.Report;

namespace Offtape.Bench;

/// <summary>One picture of a report: which curves it takes, and how they are drawn.</summary>
/// <param name="Name">Of its file, without an ending.</param>
/// <param name="Title">Of the plot.</param>
/// <param name="Y">Name of its upright axis.</param>
/// <param name="Says">The sentence under it.</param>
/// <param name="Picks">The curves, in the order in which they are drawn; those that a report has not are passed over.</param>
internal sealed record PlotSpec(string Name, string Title, string Y, string Says, params PlotPick[] Picks)
{
    public double? MinX { get; init; }

    public double? MaxX { get; init; }

    public double? MinY { get; init; }

    public double? MaxY { get; init; }

    public AxisScale Scale { get; init; } = AxisScale.Linear;

    /// <summary>With fewer curves there is nothing to see in it.</summary>
    public int FewestCurves { get; init; } = 1;

    /// <summary>A level line, where there is one to hold against.</summary>
    public (double Y, string Words)? Mark { get; init; }

    /// <summary>Marks that the report's readings give; null for none.</summary>
    public Func<IReadOnlyList<Reading>, IEnumerable<Series>>? Marks { get; init; }
}

/// <summary>Curves of one quantity.</summary>
/// <param name="Quantity">As <see cref="ReadingCurve.Quantity"/>.</param>
/// <param name="Condition">Its whole condition; null for any.</param>
/// <param name="Channel">From 1; null for all.</param>
/// <param name="Label">What it is called beside channel and condition; empty where the title says it.</param>
internal sealed record PlotPick(string Quantity, string? Condition = null, int? Channel = null, string Label = "")
{
    internal bool Takes(ReadingCurve curve) =>
        curve.Quantity == Quantity
        && (Condition is null || curve.Condition == Condition)
        && (Channel is null || curve.Channel is null || curve.Channel == Channel);
}
