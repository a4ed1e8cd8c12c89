using Offtape.Testing;

namespace Offtape.Report.Tests;

/// <summary>What tests look for in a finished drawing.</summary>
internal static class Drawings
{
    public static IEnumerable<Mark> Flat(IEnumerable<Mark> marks) =>
        marks.SelectMany(mark => mark is GroupMark group ? Flat(group.Children).Prepend(group) : [mark]);

    public static IEnumerable<TextMark> Texts(Drawing drawing) => Flat(drawing.Marks).OfType<TextMark>();

    public static string TextOf(TextMark mark) => string.Concat(mark.Runs.Select(r => r.Text));

    public static GroupMark Group(Drawing drawing, string kind) => Flat(drawing.Marks).OfType<GroupMark>().Single(g => g.Kind == kind);

    public static IEnumerable<GroupMark> Groups(Drawing drawing, string kind) =>
        Flat(drawing.Marks).OfType<GroupMark>().Where(g => g.Kind == kind);

    /// <summary>The rectangle of the plot, as the drawing tells a reader that hovers.</summary>
    public static Box Area(Drawing drawing)
    {
        var data = Group(drawing, "frame").Data.ToDictionary(d => d.Name, d => d.Value);
        return new Box(double.Parse(data["left"]), double.Parse(data["top"]), double.Parse(data["width"]), double.Parse(data["height"]));
    }

    /// <summary>No two texts touch, and none leaves the paper. The rounding of sums of widths is the only slack.</summary>
    public static void TextsKeepClear(Drawing drawing)
    {
        const double slack = 1e-6;
        var texts = Texts(drawing).ToArray();
        foreach (var text in texts)
        {
            var extent = text.Extent;
            var name = $"\"{TextOf(text)}\"";
            Measured.AtLeast(-slack, extent.Left, $"left edge of {name}");
            Measured.AtLeast(-slack, extent.Top, $"upper edge of {name}");
            Measured.AtMost(drawing.Width + slack, extent.Right, $"right edge of {name}");
            Measured.AtMost(drawing.Height + slack, extent.Bottom, $"lower edge of {name}");
        }
        for (var i = 0; i < texts.Length; i++)
        for (var j = i + 1; j < texts.Length; j++)
        {
            var (a, b) = (texts[i].Extent, texts[j].Extent);
            var overlap = Math.Min(
                Math.Min(a.Right, b.Right) - Math.Max(a.Left, b.Left),
                Math.Min(a.Bottom, b.Bottom) - Math.Max(a.Top, b.Top)
            );
            Measured.AtMost(slack, overlap, $"overlap of \"{TextOf(texts[i])}\" and \"{TextOf(texts[j])}\" in pixels");
        }
    }
}
