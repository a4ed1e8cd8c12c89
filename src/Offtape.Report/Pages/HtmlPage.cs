using Offtape.Base;

namespace Offtape.Report;

/// <summary>
/// A page that stands alone: its style and its figures are inside, nothing is loaded but the audio files beside it, and it needs no script.
/// Immutable: each call gives a new page.
/// </summary>
public sealed record HtmlPage
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

    /// <summary>Begins a section, with the sentence that says it all where there is one.</summary>
    public HtmlPage Section(string heading, string lead = "") => Heading(2, heading, lead);

    /// <summary>Begins a part of a section.</summary>
    public HtmlPage Part(string heading, string lead = "") => Heading(3, heading, lead);

    public HtmlPage Text(string text) => Add(new TextBlock(text));

    public HtmlPage Table(ReportTable table) => Add(new TableBlock(table));

    public HtmlPage Figure(PlotModel plot, string caption = "") => Add(new FigureBlock(plot, caption));

    /// <summary>Something to hear, by its path from the page's own folder, with / between the names.</summary>
    public HtmlPage Audio(string label, string relativePath) => Add(new AudioBlock(label, relativePath));

    public HtmlPage Facts(params (string Name, string Value)[] facts) => Add(new FactsBlock(facts));

    public HtmlPage Checklist(params string[] steps) => Add(new ChecklistBlock(steps));

    public HtmlPage Caution(CautionKind kind, string word, string text) => Add(new CautionBlock(kind, word, text));

    public HtmlPage Notices(IEnumerable<Notice> notices) => this with { Blocks = [.. Blocks, .. notices.Select(CautionBlock.From)] };

    public HtmlPage Add(params Block[] blocks) => this with { Blocks = [.. Blocks, .. blocks] };

    public HtmlPage Footer(string text) => this with { FooterText = text };

    public string ToHtml() => HtmlWriter.Write(this);

    private HtmlPage Heading(int level, string heading, string lead)
    {
        var page = Add(new HeadingBlock(level, heading));
        return lead.Length == 0 ? page : page.Add(new TextBlock(lead));
    }
}
