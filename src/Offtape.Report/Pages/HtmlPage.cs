namespace Offtape.Report;

/// <summary>
/// A page that stands alone: its style and its figures are inside, nothing is loaded but the audio files beside it, and it needs no script.
/// Immutable: each call gives a new page.
/// </summary>
public sealed record HtmlPage : IBlockDocument<HtmlPage>
{
    private HtmlPage(string title) => Title = title;

    public string Title { get; }

    /// <summary>The sentence under the title that says it all.</summary>
    public string LeadText { get; init; } = "";

    public IReadOnlyList<Block> Blocks { get; init; } = [];

    /// <summary>One line at the foot of the page: what made it.</summary>
    public string FooterText { get; init; } = "";

    public static HtmlPage Create(string title) => new(title);

    public HtmlPage Lead(string text) => this with { LeadText = text };

    public HtmlPage Footer(string text) => this with { FooterText = text };

    public HtmlPage Add(params Block[] blocks) => this with { Blocks = [.. Blocks, .. blocks] };

    public string ToHtml() => HtmlWriter.Write(this);
}
