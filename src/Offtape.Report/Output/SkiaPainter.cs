using System.Globalization;
using SkiaSharp;

namespace Offtape.Report;

/// <summary>Draws a drawing on a canvas of SkiaSharp, mark for mark as the SVG has it.</summary>
internal sealed class SkiaPainter : IDisposable
{
    private readonly SKCanvas _canvas;
    private readonly Palette _palette;
    private readonly ReportFonts _fonts;
    private readonly SKPaint _paint = new() { IsAntialias = true };

    private SkiaPainter(SKCanvas canvas, Palette palette, ReportFonts fonts) => (_canvas, _palette, _fonts) = (canvas, palette, fonts);

    public static void Draw(SKCanvas canvas, Drawing drawing, Palette palette, ReportFonts fonts)
    {
        using var painter = new SkiaPainter(canvas, palette, fonts);
        foreach (var mark in drawing.Marks)
            painter.Draw(mark);
    }

    public static SKColor ColorOf(Palette palette, InkRole role)
    {
        var value = uint.Parse(palette[role].AsSpan(1), NumberStyles.HexNumber, CultureInfo.InvariantCulture);
        return new SKColor(0xFF000000 | value);
    }

    public void Dispose() => _paint.Dispose();

    private void Draw(Mark mark)
    {
        switch (mark)
        {
            case GroupMark group:
                _canvas.Save();
                if (group.Clip is { } clip)
                    _canvas.ClipRect(Rectangle(clip));
                foreach (var child in group.Children)
                    Draw(child);
                _canvas.Restore();
                break;
            case LineMark line:
                DrawLine(line);
                break;
            case AreaMark area:
                using (var path = PathOf(area.Corners, isClosed: true))
                    _canvas.DrawPath(path, Filled(area.Fill, area.Opacity));
                break;
            case BoxMark box:
                DrawBox(box);
                break;
            case DotMark dot:
                if (dot.Fill is { } fill)
                    _canvas.DrawCircle((float)dot.Centre.X, (float)dot.Centre.Y, (float)dot.Radius, Filled(fill));
                if (dot.Stroke is { } stroke)
                    _canvas.DrawCircle((float)dot.Centre.X, (float)dot.Centre.Y, (float)dot.Radius, Stroked(stroke, 1));
                break;
            case TextMark text:
                DrawText(text);
                break;
            default:
                throw new NotSupportedException($"{mark.GetType().Name} has no form on a canvas.");
        }
    }

    private void DrawLine(LineMark line)
    {
        using var path = PathOf(line.Points, isClosed: false);
        var paint = Stroked(line.Ink, line.WidthPixels);
        if (line.DashPixels > 0)
        {
            using var dash = SKPathEffect.CreateDash([(float)line.DashPixels, (float)line.DashPixels], 0);
            paint.PathEffect = dash;
            _canvas.DrawPath(path, paint);
            paint.PathEffect = null;
        }
        else
            _canvas.DrawPath(path, paint);
    }

    private void DrawBox(BoxMark mark)
    {
        var radius = (float)mark.CornerRadius;
        if (mark.Fill is { } fill)
            _canvas.DrawRoundRect(Rectangle(mark.Box), radius, radius, Filled(fill));
        if (mark.Stroke is { } stroke)
        {
            var rectangle = Rectangle(mark.Box);
            rectangle.Inflate(-0.5f, -0.5f);
            _canvas.DrawRoundRect(rectangle, radius, radius, Stroked(stroke, 1));
        }
    }

    private void DrawText(TextMark text)
    {
        if (_fonts.WordsFace is null || text.Runs.Count == 0)
            return;
        var fonts = text.Runs.Select(run => FontFor(run, text.Size)).ToArray();
        var widths = text.Runs.Select((run, i) => (double)fonts[i].MeasureText(run.Text)).ToArray();
        var width = widths.Sum();
        // The layout reckons with a wide face; should the installed one be wider still, it is narrowed rather than let run into its neighbour.
        var narrowing = Math.Min(1, text.Width / Math.Max(width, 1e-9));
        var x = text.Anchor switch
        {
            TextAnchor.Start => text.At.X,
            TextAnchor.Middle => text.At.X - width * narrowing / 2,
            _ => text.At.X - width * narrowing,
        };
        for (var i = 0; i < fonts.Length; i++)
        {
            fonts[i].ScaleX = (float)narrowing;
            _canvas.DrawText(text.Runs[i].Text, (float)x, (float)text.At.Y, SKTextAlign.Left, fonts[i], Filled(text.Runs[i].Ink));
            x += widths[i] * narrowing;
            fonts[i].Dispose();
        }
    }

    // Without hinting, and at fractions of a pixel, the same text comes out the same on every system and at every scale.
    private SKFont FontFor(TextRun run, double size)
    {
        var face = run.Face == Face.Figures ? _fonts.FiguresFace : _fonts.WordsFace;
        if (!face!.ContainsGlyphs(run.Text) && SKFontManager.Default.MatchCharacter(FirstMissing(face, run.Text)) is { } other)
            face = other.ContainsGlyphs(run.Text) ? other : face;
        return new SKFont(face, (float)size)
        {
            Hinting = SKFontHinting.None,
            Subpixel = true,
            Edging = SKFontEdging.Antialias,
        };
    }

    private static int FirstMissing(SKTypeface face, string text)
    {
        foreach (var rune in text.EnumerateRunes())
        {
            if (face.GetGlyph(rune.Value) == 0)
                return rune.Value;
        }
        return ' ';
    }

    private static SKPath PathOf(IReadOnlyList<Point> points, bool isClosed)
    {
        var path = new SKPath();
        for (var i = 0; i < points.Count; i++)
        {
            if (i == 0)
                path.MoveTo((float)points[i].X, (float)points[i].Y);
            else
                path.LineTo((float)points[i].X, (float)points[i].Y);
        }
        if (isClosed)
            path.Close();
        return path;
    }

    private static SKRect Rectangle(Box box) => new((float)box.Left, (float)box.Top, (float)box.Right, (float)box.Bottom);

    private SKPaint Filled(InkRole ink, double opacity = 1)
    {
        _paint.Style = SKPaintStyle.Fill;
        _paint.Color = ColorOf(_palette, ink).WithAlpha((byte)Math.Round(opacity * 255));
        return _paint;
    }

    private SKPaint Stroked(InkRole ink, double width)
    {
        _paint.Style = SKPaintStyle.Stroke;
        _paint.StrokeWidth = (float)width;
        _paint.StrokeJoin = SKStrokeJoin.Round;
        _paint.Color = ColorOf(_palette, ink);
        return _paint;
    }
}
