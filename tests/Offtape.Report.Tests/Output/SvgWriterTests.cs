using System.Text;
using System.Xml.Linq;
using CsCheck;

namespace Offtape.Report.Tests;

/// <summary>SVG as a strict XML reader sees it.</summary>
public sealed class SvgWriterTests
{
    private static readonly XNamespace _svg = "http://www.w3.org/2000/svg";

    private static PlotModel Plot(string title = "title", string label = "line") =>
        new PlotModel(title, Axis.Clock("time"), Axis.Linear("late", "ms")).With(
            new BandSeries("band", [0, 1], [0, 0], [1, 1]),
            new LineSeries(label, [0, 1], [0, 1]),
            new PointSeries("points", [0.25], [0.5]),
            new BarSeries("bars", [0], [0.5], [0.5]),
            new UprightMark(0.5, "mark"),
            new LevelMark(0.75, "limit"),
            new ShadedSpan(0.1, 0.2, "gap"),
            new WaveformSeries("wave", Waveform.Of(new float[5000], 5000))
        );

    [Fact]
    public void The_root_names_itself_to_a_reader_that_cannot_see_it()
    {
        var root = XDocument.Parse(Plot().ToSvg(832, new SvgOptions { IdPrefix = "a1", ClassNames = "wide" })).Root!;
        Assert.Equal(_svg + "svg", root.Name);
        Assert.Equal("0 0 832 260", root.Attribute("viewBox")!.Value);
        Assert.Equal("img", root.Attribute("role")!.Value);
        Assert.Equal("plot wide", root.Attribute("class")!.Value);
        Assert.Equal("a1-title a1-desc", root.Attribute("aria-labelledby")!.Value);
        Assert.Equal(("a1-title", "title"), (root.Element(_svg + "title")!.Attribute("id")!.Value, root.Element(_svg + "title")!.Value));
        Assert.Equal("a1-desc", root.Element(_svg + "desc")!.Attribute("id")!.Value);
        Assert.Equal(
            "late, ms against time, min:s: band, line, points, bars, mark, limit, gap and wave.",
            root.Element(_svg + "desc")!.Value
        );
    }

    [Fact]
    public void Words_are_text()
    {
        var texts = XDocument.Parse(Plot().ToSvg()).Descendants(_svg + "text").Select(t => t.Value).ToArray();
        foreach (var wanted in (string[])["title", "late, ms", "time, min:s", "line", "limit", "mark", "gap", "0:00.0"])
            Assert.Contains(wanted, texts);
    }

    /// <summary>Any text at all comes through a strict reader as it went in, but for the characters that XML 1.0 (section 2.2) forbids.</summary>
    [Fact]
    public void Hostile_text_stays_text() =>
        Gen.OneOf(Gen.Char.Array[0, 60].Select(c => new string(c)), Gen.Const("</text><script>alert('x')</script>&\"'<!--]]>"))
            .Sample(text =>
            {
                var root = XDocument.Parse(Plot(title: "t" + text, label: "l" + text).ToSvg()).Root!;
                return root.Element(_svg + "title")!.Value == Allowed("t" + text)
                    && root.Descendants().Any(e => e.Attribute("data-label")?.Value == AsAttribute(Allowed("l" + text)))
                    && !root.Descendants(_svg + "script").Any();
            });

    [Fact]
    public void Every_mark_is_painted_by_role()
    {
        var palette = Enum.GetValues<InkRole>().Select(r => Palette.Light[r]).Append("none").ToHashSet();
        foreach (var element in XDocument.Parse(Plot().ToSvg()).Root!.Descendants())
        {
            foreach (var (name, prefix) in ((string, string)[])[("fill", "f-"), ("stroke", "s-")])
            {
                if (element.Attribute(name)?.Value is not { } colour)
                    continue;
                Assert.Contains(colour, palette);
                if (colour != "none")
                    Assert.Contains(element.Attribute("class")!.Value.Split(' '), c => c.StartsWith(prefix, StringComparison.Ordinal));
            }
        }
    }

    [Fact]
    public void A_file_of_its_own_turns_dark_and_a_part_of_a_page_leaves_that_to_the_page()
    {
        var style = XDocument.Parse(Plot().ToSvg()).Root!.Element(_svg + "style")!.Value;
        Assert.StartsWith("@media (prefers-color-scheme:dark)", style);
        foreach (var role in Enum.GetValues<InkRole>())
            Assert.Contains($".f-{SvgWriter.ClassName(role)}{{fill:{Palette.Dark[role]}}}", style);
        var part = XDocument.Parse(Plot().ToSvg(832, new SvgOptions { IsStandalone = false })).Root!;
        Assert.Empty(part.Descendants(_svg + "style"));
    }

    [Fact]
    public void A_reader_that_hovers_can_turn_pixels_into_values()
    {
        var plot = new PlotModel("", Axis.Frequency("f", 20, 20_000), Axis.Linear("y", "", -1, 3)).With(new PointSeries("", [200], [0.5]));
        var root = XDocument.Parse(plot.ToSvg()).Root!;
        var frame = root.Descendants().Single(e => e.Attribute("class")?.Value == "frame");
        double Get(string name) => double.Parse(frame.Attribute("data-" + name)!.Value);
        var dot = root.Descendants(_svg + "circle").Single();
        Assert.Equal(("log", "linear"), (frame.Attribute("data-x-scale")!.Value, frame.Attribute("data-y-scale")!.Value));
        var x =
            Get("x-min") * Math.Pow(Get("x-max") / Get("x-min"), (double.Parse(dot.Attribute("cx")!.Value) - Get("left")) / Get("width"));
        var y = Get("y-max") - (double.Parse(dot.Attribute("cy")!.Value) - Get("top")) / Get("height") * (Get("y-max") - Get("y-min"));
        // Pixels are written to two decimals: half of a hundredth, through the scale of 1000 : 1 over some 760 pixels and of 4 over some 150.
        Assert.Equal(200, x, 200 * Math.Log(1000) / 700 * 0.0051);
        Assert.Equal(0.5, y, 4.0 / 140 * 0.0051);
        Assert.Equal(("200", "0.5"), (dot.Attribute("data-x")!.Value, dot.Attribute("data-y")!.Value));
    }

    [Fact]
    public void The_same_plot_gives_the_same_text() => Assert.Equal(Plot().ToSvg(), Plot().ToSvg());

    [Fact]
    public void Numbers_are_written_without_exponents_and_at_most_two_decimals()
    {
        foreach (var element in XDocument.Parse(Plot().ToSvg()).Root!.Descendants(_svg + "path"))
            Assert.Matches(@"^[ML](-?\d+(\.\d{1,2})?[ MLZ]?)+$", element.Attribute("d")!.Value);
    }

    // XML 1.0, production 2: what is left out, and what a lone half of a surrogate pair becomes.
    private static string Allowed(string text)
    {
        var allowed = new StringBuilder();
        for (var i = 0; i < text.Length; i++)
        {
            if (char.IsHighSurrogate(text[i]) && i + 1 < text.Length && char.IsLowSurrogate(text[i + 1]))
                allowed.Append(text[i]).Append(text[++i]);
            else if (char.IsSurrogate(text[i]) || text[i] is '\uFFFE' or '\uFFFF')
                allowed.Append('\uFFFD');
            else if (text[i] >= ' ' || text[i] is '\t' or '\n' or '\r')
                allowed.Append(text[i]);
        }
        // XML 1.0, section 2.11: line ends are read as one line feed.
        return allowed.ToString().ReplaceLineEndingsOfXml();
    }

    // XML 1.0, section 3.3.3: white space in attributes is read as spaces.
    private static string AsAttribute(string text) => text.Replace('\t', ' ').Replace('\n', ' ').Replace('\r', ' ');
}

file static class XmlText
{
    public static string ReplaceLineEndingsOfXml(this string text) =>
        text.Replace("\r\n", "\n", StringComparison.Ordinal).Replace('\r', '\n');
}
