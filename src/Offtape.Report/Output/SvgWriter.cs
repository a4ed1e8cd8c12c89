using System.Globalization;
using System.Text;

namespace Offtape.Report;

/// <summary>
/// Writes a drawing as SVG 1.1: text as text, colours as attributes (for every viewer) and as class names (f-ink fills, s-ink strokes) by
/// which a style sheet turns them dark. The same drawing gives the same bytes.
/// </summary>
internal sealed class SvgWriter
{
    private readonly StringBuilder _out = new();
    private readonly SvgOptions _options;

    private SvgWriter(SvgOptions options) => _options = options;

    public static string Write(Drawing drawing, SvgOptions? options = null)
    {
        var writer = new SvgWriter(options ?? new SvgOptions());
        writer.WriteDrawing(drawing);
        return writer._out.ToString();
    }

    /// <summary>The rules by which the colours of a drawing turn dark, for inside a media query.</summary>
    public static string RoleRules(Palette palette)
    {
        var rules = new StringBuilder();
        foreach (var role in Enum.GetValues<InkRole>())
            rules.Append($".f-{ClassName(role)}{{fill:{palette[role]}}}.s-{ClassName(role)}{{stroke:{palette[role]}}}");
        return rules.ToString();
    }

    /// <summary>A small sign beside words that say the same: nothing to a reader that cannot see it.</summary>
    public static string Sign(IReadOnlyList<Mark> marks)
    {
        var writer = new SvgWriter(new SvgOptions());
        writer._out.Append("<svg viewBox=\"0 0 16 16\" width=\"16\" height=\"16\" aria-hidden=\"true\">");
        foreach (var mark in marks)
            writer.WriteMark(mark);
        return writer._out.Append("</svg>").ToString();
    }

    /// <summary>Escapes what XML keeps for itself, and drops the control characters that it does not allow at all.</summary>
    public static string Escape(string text)
    {
        var escaped = new StringBuilder(text.Length);
        for (var i = 0; i < text.Length; i++)
        {
            var character = text[i];
            if (char.IsHighSurrogate(character) && i + 1 < text.Length && char.IsLowSurrogate(text[i + 1]))
                escaped.Append(character).Append(text[++i]);
            else if (char.IsSurrogate(character) || character is '\uFFFE' or '\uFFFF')
                escaped.Append('\uFFFD');
            else if (character >= ' ' || character is '\t' or '\n' or '\r')
                escaped.Append(
                    character switch
                    {
                        '&' => "&amp;",
                        '<' => "&lt;",
                        '>' => "&gt;",
                        '"' => "&quot;",
                        '\'' => "&#39;",
                        _ => character.ToString(),
                    }
                );
        }
        return escaped.ToString();
    }

    private void WriteDrawing(Drawing drawing)
    {
        var (titleId, descriptionId) = ($"{_options.IdPrefix}-title", $"{_options.IdPrefix}-desc");
        var hasDescription = drawing.Description.Length > 0;
        _out.Append("<svg xmlns=\"http://www.w3.org/2000/svg\"");
        Attribute("class", _options.ClassNames.Length > 0 ? $"plot {_options.ClassNames}" : "plot");
        Attribute("viewBox", $"0 0 {Number(drawing.Width)} {Number(drawing.Height)}");
        Attribute("width", Number(drawing.Width));
        Attribute("height", Number(drawing.Height));
        Attribute("role", "img");
        Attribute("aria-labelledby", hasDescription ? $"{titleId} {descriptionId}" : titleId);
        Attribute("font-family", TypeSize.WordsFamily);
        Attribute("font-size", Number(TypeSize.Note));
        _out.Append('>');
        _out.Append($"<title id=\"{Escape(titleId)}\">{Escape(drawing.Title)}</title>");
        if (hasDescription)
            _out.Append($"<desc id=\"{Escape(descriptionId)}\">{Escape(drawing.Description)}</desc>");
        if (_options.IsStandalone)
            _out.Append($"<style>@media (prefers-color-scheme:dark){{{RoleRules(Palette.Dark)}}}</style>");
        _out.Append('\n');
        foreach (var mark in drawing.Marks)
            WriteMark(mark);
        _out.Append("</svg>\n");
    }

    private void WriteMark(Mark mark)
    {
        switch (mark)
        {
            case GroupMark group:
                WriteGroup(group);
                break;
            case LineMark line:
                _out.Append("<path");
                Stroke(line.Ink, line.WidthPixels);
                _out.Append(" fill=\"none\" stroke-linejoin=\"round\"");
                if (line.DashPixels > 0)
                    Attribute("stroke-dasharray", Number(line.DashPixels));
                Path(line.Points, isClosed: false);
                _out.Append("/>\n");
                break;
            case AreaMark area:
                _out.Append("<path");
                Fill(area.Fill);
                if (area.Opacity < 1)
                    Attribute("fill-opacity", Number(area.Opacity));
                Path(area.Corners, isClosed: true);
                _out.Append("/>\n");
                break;
            case BoxMark box:
                WriteBox(box);
                break;
            case DotMark dot:
                WriteDot(dot);
                break;
            case TextMark text:
                WriteText(text);
                break;
            default:
                throw new NotSupportedException($"{mark.GetType().Name} has no form in SVG.");
        }
    }

    private void WriteGroup(GroupMark group)
    {
        // Nested drawings cut off what lies outside them, without identifiers that would have to be unique on a page.
        _out.Append(group.Clip is null ? "<g" : "<svg");
        if (group.Kind is { } kind)
            Attribute("class", kind);
        foreach (var (name, value) in group.Data)
            Attribute($"data-{name}", value);
        if (group.Clip is { } clip)
        {
            Attribute("x", Number(clip.Left));
            Attribute("y", Number(clip.Top));
            Attribute("width", Number(clip.Width));
            Attribute("height", Number(clip.Height));
            Attribute("viewBox", $"{Number(clip.Left)} {Number(clip.Top)} {Number(clip.Width)} {Number(clip.Height)}");
            Attribute("overflow", "hidden");
        }
        _out.Append(">\n");
        foreach (var child in group.Children)
            WriteMark(child);
        _out.Append(group.Clip is null ? "</g>\n" : "</svg>\n");
    }

    private void WriteBox(BoxMark mark)
    {
        _out.Append("<rect");
        Paint(mark.Fill, mark.Stroke);
        // A border lies wholly inside its box, on whole pixels.
        var inset = mark.Stroke is null ? 0 : 0.5;
        Attribute("x", Number(mark.Box.Left + inset));
        Attribute("y", Number(mark.Box.Top + inset));
        Attribute("width", Number(Math.Max(0, mark.Box.Width - 2 * inset)));
        Attribute("height", Number(Math.Max(0, mark.Box.Height - 2 * inset)));
        if (mark.CornerRadius > 0)
            Attribute("rx", Number(mark.CornerRadius));
        _out.Append("/>\n");
    }

    private void WriteDot(DotMark dot)
    {
        _out.Append("<circle");
        Paint(dot.Fill, dot.Stroke);
        Attribute("cx", Number(dot.Centre.X));
        Attribute("cy", Number(dot.Centre.Y));
        Attribute("r", Number(dot.Radius));
        if (dot.Value is { } value)
        {
            Attribute("data-x", value.X.ToString("R", CultureInfo.InvariantCulture));
            Attribute("data-y", value.Y.ToString("R", CultureInfo.InvariantCulture));
        }
        _out.Append("/>\n");
    }

    private void WriteText(TextMark text)
    {
        if (text.Runs.Count == 0)
            return;
        var only = text.Runs.Count == 1 ? text.Runs[0] : null;
        _out.Append("<text");
        if (only is not null)
            TextPaint(only);
        Attribute("x", Number(text.At.X));
        Attribute("y", Number(text.At.Y));
        if (text.Size != TypeSize.Note)
            Attribute("font-size", Number(text.Size));
        if (text.Anchor != TextAnchor.Start)
            Attribute("text-anchor", text.Anchor == TextAnchor.Middle ? "middle" : "end");
        // Spaces at the ends of runs are part of the words.
        if (only is null)
            _out.Append(" xml:space=\"preserve\"");
        _out.Append('>');
        foreach (var run in text.Runs)
        {
            if (only is null)
            {
                _out.Append("<tspan");
                TextPaint(run);
                _out.Append('>');
            }
            _out.Append(Escape(run.Text));
            if (only is null)
                _out.Append("</tspan>");
        }
        _out.Append("</text>\n");
    }

    private void TextPaint(TextRun run)
    {
        var isFigures = run.Face == Face.Figures;
        Attribute("class", $"f-{ClassName(run.Ink)}{(isFigures ? " figures" : "")}");
        Attribute("fill", Palette.Light[run.Ink]);
        if (isFigures)
            Attribute("font-family", TypeSize.FiguresFamily);
    }

    private void Paint(InkRole? fill, InkRole? stroke)
    {
        var classes = new List<string>();
        if (fill is { } f)
            classes.Add($"f-{ClassName(f)}");
        if (stroke is { } s)
            classes.Add($"s-{ClassName(s)}");
        Attribute("class", string.Join(' ', classes));
        Attribute("fill", fill is { } fillRole ? Palette.Light[fillRole] : "none");
        if (stroke is { } strokeRole)
            Attribute("stroke", Palette.Light[strokeRole]);
    }

    private void Fill(InkRole ink)
    {
        Attribute("class", $"f-{ClassName(ink)}");
        Attribute("fill", Palette.Light[ink]);
    }

    private void Stroke(InkRole ink, double width)
    {
        Attribute("class", $"s-{ClassName(ink)}");
        Attribute("stroke", Palette.Light[ink]);
        if (width != 1)
            Attribute("stroke-width", Number(width));
    }

    private void Path(IReadOnlyList<Point> points, bool isClosed)
    {
        _out.Append(" d=\"");
        for (var i = 0; i < points.Count; i++)
        {
            _out.Append(i == 0 ? 'M' : 'L').Append(Number(points[i].X)).Append(' ').Append(Number(points[i].Y));
        }
        _out.Append(isClosed ? "Z\"" : "\"");
    }

    private void Attribute(string name, string value) => _out.Append($" {name}=\"{Escape(value)}\"");

    private static string Number(double value) =>
        Math.Round(value, 2).ToString("0.##", CultureInfo.InvariantCulture) switch
        {
            "-0" => "0",
            var text => text,
        };

    public static string ClassName(InkRole role) =>
        role switch
        {
            InkRole.Paper => "paper",
            InkRole.Sheet => "sheet",
            InkRole.Rule => "rule",
            InkRole.Ink => "ink",
            InkRole.Soft => "soft",
            InkRole.Accent => "accent",
            InkRole.Wash => "wash",
            InkRole.Warn => "warn",
            _ => "bad",
        };
}
