using System.Text.Json;

namespace Offtape.Web.Listening;

/// <summary>What the script of a page draws and plays: addresses by identifiers, and what stands on the axis.</summary>
internal sealed record HearSpec
{
    /// <summary>Where the sound comes from.</summary>
    public required string Hear { get; init; }

    /// <summary>What it is to a screen reader.</summary>
    public required string Label { get; init; }

    /// <summary>Length of the axis, at least.</summary>
    public required double Seconds { get; init; }

    /// <summary>What one can choose to hear; the first is heard first.</summary>
    public required IReadOnlyList<string> Hears { get; init; }

    /// <summary>What is drawn, the first at the bottom.</summary>
    public required IReadOnlyList<HearLayer> Layers { get; init; }

    /// <summary>Dropouts.</summary>
    public IReadOnlyList<HearMark> Marks { get; init; } = [];

    /// <summary>Where sounds were found.</summary>
    public IReadOnlyList<HearSpan> Spans { get; init; } = [];

    /// <summary>Where the time map comes from; null: there is none.</summary>
    public string? Map { get; init; }

    public string ToJson() => JsonSerializer.Serialize(this, HearJson.Default.HearSpec);
}

/// <param name="Name">As it stands in the picture.</param>
/// <param name="Url">Where its peaks come from.</param>
/// <param name="Ink">A colour of the style sheet.</param>
/// <param name="Variant">Which variant it is.</param>
/// <param name="Retiming">Drawn only while this retiming is chosen; null: always.</param>
/// <param name="IsLine">Drawn as an outline, so that what lies under it is seen.</param>
internal sealed record HearLayer(string Name, string Url, string Ink, string Variant, string? Retiming = null, bool IsLine = false);

/// <param name="At">In seconds of the axis.</param>
/// <param name="Seconds">How long it lasts.</param>
/// <param name="Words">What it is.</param>
internal sealed record HearMark(double At, double Seconds, string Words);

/// <param name="Name">Of the sound.</param>
/// <param name="From">In seconds of the axis.</param>
/// <param name="To">Its end.</param>
internal sealed record HearSpan(string Name, double From, double To);
