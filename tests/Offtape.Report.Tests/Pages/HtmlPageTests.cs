using System.Security.Cryptography;
using System.Text;
using System.Text.RegularExpressions;
using System.Xml;
using System.Xml.Linq;
using CsCheck;
using Offtape.Base;

namespace Offtape.Report.Tests;

/// <summary>A page as a strict reader sees it: whole, self-contained, with landmarks, headings in order and nothing that runs.</summary>
public sealed class HtmlPageTests
{
    private static readonly XDocument _page = Parse(Sample().ToHtml());

    [Fact]
    public void There_is_one_title_and_headings_skip_no_level()
    {
        var levels = _page
            .Descendants()
            .Select(e => e.Name.LocalName)
            .Where(n => Regex.IsMatch(n, "^h[1-6]$"))
            .Select(n => n[1] - '0')
            .ToArray();
        Assert.Equal(1, levels[0]);
        Assert.Equal(1, levels.Count(l => l == 1));
        Assert.All(levels.Zip(levels.Skip(1)), pair => Assert.True(pair.Second <= pair.First + 1));
        Assert.Equal("en", _page.Root!.Attribute("lang")!.Value);
        Assert.Equal("Lantern Quay", Named("title").First().Value);
    }

    [Fact]
    public void Landmarks_are_there_and_sections_have_names()
    {
        Assert.Equal(["header", "main", "footer"], _page.Root!.Element("body")!.Elements().Select(e => e.Name.LocalName));
        var sections = Named("section").ToArray();
        Assert.Equal(2, sections.Length);
        Assert.All(sections, s => Assert.Equal(s.Element("h2")!.Attribute("id")!.Value, s.Attribute("aria-labelledby")!.Value));
    }

    [Fact]
    public void Identifiers_are_used_once_and_every_reference_has_its_own()
    {
        var ids = _page.Descendants().Select(e => e.Attribute("id")?.Value).Where(v => v is not null).ToArray();
        Assert.Equal(ids.Length, ids.Distinct().Count());
        foreach (var reference in _page.Descendants().SelectMany(e => e.Attribute("aria-labelledby")?.Value.Split(' ') ?? []))
            Assert.Contains(reference, ids);
    }

    [Fact]
    public void Nothing_runs_and_nothing_comes_from_elsewhere()
    {
        Assert.Empty(Named("script").Concat(Named("link")).Concat(Named("iframe")).Concat(Named("img")));
        foreach (var attribute in _page.Descendants().Attributes())
        {
            Assert.False(attribute.Name.LocalName.StartsWith("on", StringComparison.Ordinal), $"{attribute.Name} would run");
            Assert.NotEqual("style", attribute.Name.LocalName);
            if (!attribute.IsNamespaceDeclaration)
                Assert.DoesNotContain("://", attribute.Value);
        }
        Assert.DoesNotContain("url(", Named("style").Single().Value);
        Assert.DoesNotContain("@import", Named("style").Single().Value);
    }

    /// <summary>Content Security Policy Level 3: a style element is allowed by the base-64 SHA-256 of its text.</summary>
    [Fact]
    public void The_policy_of_the_page_allows_its_style_and_nothing_else()
    {
        var policy = Named("meta").Single(m => m.Attribute("http-equiv") is not null).Attribute("content")!.Value;
        var hash = Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(Named("style").Single().Value)));
        Assert.Contains("default-src 'none'", policy);
        Assert.Contains($"style-src 'sha256-{hash}'", policy);
        Assert.DoesNotContain("unsafe", policy);
    }

    [Fact]
    public void Tables_keep_their_meaning_where_they_are_laid_out_as_blocks()
    {
        var table = Named("table").Single();
        Assert.Equal("table", table.Attribute("role")!.Value);
        var heads = table.Descendants("th").Where(h => h.Attribute("scope")!.Value == "col").Select(h => h.Value).ToArray();
        Assert.Equal(["sound", "speed", "state"], heads);
        foreach (var row in table.Element("tbody")!.Elements("tr"))
        {
            Assert.Equal("row", row.Attribute("role")!.Value);
            Assert.Equal("row", row.Elements().First().Attribute("scope")!.Value);
            Assert.Equal(heads.Skip(1), row.Elements("td").Select(d => d.Attribute("data-name")!.Value));
        }
        Assert.Equal(["marimba", "+0.31\u2009%", "whole"], table.Element("tbody")!.Elements("tr").First().Elements().Select(e => e.Value));
    }

    [Fact]
    public void Numbers_are_set_in_figures_and_units_apart()
    {
        var cell = Named("td").First(d => d.Value.Contains("0.31", StringComparison.Ordinal));
        Assert.Equal(["+0.31"], cell.Descendants("span").Where(s => s.Attribute("class")?.Value == "n").Select(s => s.Value));
        Assert.Equal(["\u2009%"], cell.Descendants("span").Where(s => s.Attribute("class")?.Value == "u").Select(s => s.Value));
    }

    [Fact]
    public void A_figure_is_drawn_for_every_width_of_screen()
    {
        XNamespace svg = "http://www.w3.org/2000/svg";
        var drawings = Named("figure").Single().Elements(svg + "svg").ToArray();
        Assert.Equal(["plot at-358", "plot at-480", "plot at-640", "plot at-832"], drawings.Select(d => d.Attribute("class")!.Value));
        Assert.Equal(["358", "480", "640", "832"], drawings.Select(d => d.Attribute("width")!.Value));
        Assert.Equal("How far it is.", Named("figcaption").Single().Value);
    }

    /// <summary>
    /// The media queries as a browser reads them (Media Queries Level 4, min- and max-width): at every width of a window one drawing is shown, and
    /// its type, 13 px where it is drawn, is shown at no less than 11.9 and no more than 15 px. Phones begin at 320 px.
    /// </summary>
    [Fact]
    public void At_every_width_one_drawing_is_shown_with_type_as_large_as_the_pages()
    {
        var css = Named("style").Single().Value;
        var hidden = Regex
            .Matches(css, @"@media \((min|max)-width:([\d.]+)px\)\{svg\.at-(\d+)\{display:none\}\}")
            .Select(m => (IsMin: m.Groups[1].Value == "min", Edge: double.Parse(m.Groups[2].Value), Drawing: int.Parse(m.Groups[3].Value)))
            .ToArray();
        var most = Regex
            .Matches(css, @"svg\.at-(\d+)\{max-width:(\d+)px\}")
            .ToDictionary(m => int.Parse(m.Groups[1].Value), m => int.Parse(m.Groups[2].Value));
        for (var window = 320; window <= 2000; window++)
        {
            var shown = most.Keys.Where(d => !hidden.Any(h => h.Drawing == d && (h.IsMin ? window >= h.Edge : window <= h.Edge))).ToArray();
            var drawing = Assert.Single(shown);
            var room = Math.Min(832, window < 720 ? window - 32 : window - 64);
            var type = 13.0 * Math.Min(room, most[drawing]) / drawing;
            // Below a phone of 360 px the narrowest drawing has to shrink further: 288 of 358 px at 320.
            Assert.InRange(type, window < 362 ? 10.4 : 11.9, 15.0);
        }
    }

    [Fact]
    public void Commands_are_set_as_code()
    {
        var page = Parse(HtmlPage.Create("t").Commands("offtape send sounds --to pass1", "offtape return a<b.wav").ToHtml());
        Assert.Equal(
            ["offtape send sounds --to pass1", "offtape return a<b.wav"],
            page.Descendants("pre").Select(p => p.Element("code")!.Value)
        );
    }

    [Fact]
    public void Audio_has_controls_a_name_and_a_path_from_the_page()
    {
        var audio = Named("audio").Single();
        Assert.Equal("../sources/kit%20%231%3F%3A%20a%26b.wav", audio.Attribute("src")!.Value);
        Assert.NotNull(audio.Attribute("controls"));
        Assert.Equal("the take", audio.Attribute("aria-label")!.Value);
        Assert.Equal("../sources/kit #1?: a&b.wav", Uri.UnescapeDataString(audio.Attribute("src")!.Value));
    }

    [Theory]
    [InlineData("/etc/passwd")]
    [InlineData("C:/take.wav")]
    [InlineData("C:\\take.wav")]
    [InlineData("//host/take.wav")]
    [InlineData("https://example.org/take.wav")]
    [InlineData("")]
    public void Paths_that_lead_elsewhere_are_refused(string path) =>
        Assert.Throws<ArgumentException>(() => HtmlPage.Create("t").Audio("a", path).ToHtml());

    [Fact]
    public void A_scheme_in_a_file_name_is_only_a_name() =>
        Assert.Equal("javascript%3Aalert%281%29", RelativeAddress.Of("javascript:alert(1)"));

    [Fact]
    public void Hostile_text_stays_text_wherever_it_stands() =>
        Gen.OneOf(Gen.Char.Array[1, 40].Select(c => new string(c)), Gen.Const("</style><script>alert(1)</script><p onclick='x' \"&amp;"))
            .Sample(
                text =>
                {
                    var page = HtmlPage
                        .Create(text)
                        .Lead(text)
                        .Section(text, text)
                        .Part(text)
                        .Table(ReportTable.Create(text).Words(text).Words(text).Row(text, new TableCell(text, InkRole.Bad)))
                        .Facts((text, text))
                        .Checklist(text)
                        .Caution(CautionKind.Bad, text, text)
                        .Notices([new Notice("code", text)])
                        .Footer(text);
                    var document = Parse(page.ToHtml());
                    return !document.Descendants("script").Any() && document.Descendants().Attributes("onclick").None();
                },
                iter: 300
            );

    [Fact]
    public void Warnings_are_told_by_a_word_and_a_sign_as_well_as_by_colour()
    {
        foreach (var caution in Named("div").Where(d => d.Attribute("class")?.Value == "caution"))
        {
            Assert.Equal("svg", caution.Elements().First().Name.LocalName);
            Assert.Matches("^[A-Z][a-z]+:$", caution.Element("p")!.Element("span")!.Value);
        }
    }

    /// <summary>Only the sizes 13, 15, 18 and 24 px, and only colours of the palette.</summary>
    [Fact]
    public void The_style_knows_only_four_sizes_and_the_palette()
    {
        var css = Named("style").Single().Value;
        var sizes = Regex.Matches(css, @"font(?:-size)?:(\d+)px").Select(m => m.Groups[1].Value).Distinct().Order();
        Assert.Equal(["13", "15", "18", "24"], sizes);
        var palette = Enum.GetValues<InkRole>().SelectMany(r => (string[])[Palette.Light[r], Palette.Dark[r]]).ToHashSet();
        Assert.All(Regex.Matches(css, "#[0-9A-Fa-f]{3,8}\\b").Select(m => m.Value), colour => Assert.Contains(colour, palette));
        Assert.DoesNotContain("shadow", css);
        Assert.DoesNotContain("gradient", css);
    }

    [Fact]
    public void The_same_page_gives_the_same_text() => Assert.Equal(Sample().ToHtml(), Sample().ToHtml());

    [Fact]
    public void A_page_is_never_changed_by_adding_to_it()
    {
        var page = HtmlPage.Create("t");
        _ = page.Text("more");
        Assert.Empty(page.Blocks);
    }

    private static HtmlPage Sample() =>
        HtmlPage
            .Create("Lantern Quay")
            .Lead("4 sounds, 1 capture.")
            .Section("Takes", "Speed is against what the pass intended.")
            .Table(
                ReportTable
                    .Create("Takes of pass 1")
                    .Words("sound")
                    .Figures("speed")
                    .Words("state")
                    .Row("marimba", Quantity.Signed(0.31, 2, "%"), "whole")
                    .Row("cymbal", "", new TableCell("not found", InkRole.Bad))
            )
            .Notices([new Notice("tape-ended", "The tape ended 4\u2009s before it.")])
            .Caution(CautionKind.Bad, "Danger", "The chassis can be live.")
            .Caution(CautionKind.Note, "Note", "It is only a note.")
            .Section("marimba")
            .Part("Time map")
            .Figure(
                new PlotModel("time map", Axis.Clock("time"), Axis.Linear("late", "ms")).With(new LineSeries("lock", [0, 1], [0, 1])),
                "How far it is."
            )
            .Audio("the take", "../sources/kit #1?: a&b.wav")
            .Facts(("speed", "4.76\u2009cm/s"))
            .Checklist("Clean the heads.")
            .Footer("Made by Offtape.");

    private static IEnumerable<XElement> Named(string name) => _page.Descendants(name);

    private static XDocument Parse(string html)
    {
        using var reader = XmlReader.Create(new StringReader(html), new XmlReaderSettings { DtdProcessing = DtdProcessing.Ignore });
        return XDocument.Load(reader);
    }
}

file static class Sequences
{
    public static bool None<T>(this IEnumerable<T> items) => !items.Any();
}
