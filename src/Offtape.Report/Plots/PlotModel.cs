namespace Offtape.Report;

/// <summary>
/// A plot as a value: what it shows, never how. The same model is drawn to SVG, PNG and PDF alike, and the same model gives the same bytes.
/// Series are drawn in their order, shaded spans and bands first.
/// </summary>
public sealed record PlotModel(string Title, Axis X, Axis Y)
{
    public IReadOnlyList<Series> Series { get; init; } = [];

    /// <summary>What the plot says, in a sentence, for a reader that cannot see it; empty for one made from the axes and labels.</summary>
    public string Description { get; init; } = "";

    /// <summary>
    /// Height over all in CSS pixels (96 to the inch), at least 120; the width is that of the page it stands on. A drawing grows beyond it
    /// where its words leave no room for the plot.
    /// </summary>
    public double HeightPixels { get; init; } = 260;

    public PlotModel With(params Series[] series) => this with { Series = [.. Series, .. series] };

    /// <summary>A source and its take over each other on one time axis: the source in ink, the take in accent.</summary>
    public static PlotModel Overlay(string title, Waveform source, Waveform take) =>
        new PlotModel(title, Axis.Clock("source time"), Axis.Amplitude()).With(
            new WaveformSeries("source", source) { Ink = InkRole.Ink },
            new WaveformSeries("take", take)
        );
}
