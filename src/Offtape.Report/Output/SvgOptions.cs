namespace Offtape.Report;

/// <summary>How an SVG is written.</summary>
public sealed record SvgOptions
{
    /// <summary>A file of its own (carries its dark colours), or part of a page whose style sheet has them.</summary>
    public bool IsStandalone { get; init; } = true;

    /// <summary>Begins the identifiers of title and description, which must be unique on a page: letters, digits, hyphens.</summary>
    public string IdPrefix { get; init; } = "plot";

    /// <summary>Further class names of the outermost element, for the page's style sheet.</summary>
    public string ClassNames { get; init; } = "";
}
