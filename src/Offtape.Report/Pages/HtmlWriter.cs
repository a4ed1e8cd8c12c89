using System.Security.Cryptography;
using System.Text;

namespace Offtape.Report;

/// <summary>
/// Writes a page as HTML that is well-formed XML too, so that any strict reader can check it: landmarks, headings in order, tables that become
/// blocks on a phone, figures as inline SVG.
/// </summary>
internal sealed class HtmlWriter
{
    private readonly StringBuilder _out = new();
    private int _sectionNumber;
    private int _figureNumber;
    private bool _isInHear;

    private HtmlWriter() { }

    public static string Write(HtmlPage page)
    {
        var writer = new HtmlWriter();
        writer.WritePage(page);
        return writer._out.ToString();
    }

    private void WritePage(HtmlPage page)
    {
        // The page may show itself, its style and what lies beside it, and nothing else; the style is named by its own hash.
        var styleHash = Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(PageStyle.Css)));
        _out.Append("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n");
        _out.Append(
            $"<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'sha256-{styleHash}'; media-src 'self' file:\"/>\n"
        );
        _out.Append("<meta name=\"viewport\" content=\"width=device-width,initial-scale=1\"/>\n");
        _out.Append($"<title>{Escape(page.Title)}</title>\n<style>{PageStyle.Css}</style>\n</head>\n<body>\n");
        _out.Append($"<header>\n<h1>{Rich(page.Title)}</h1>\n");
        if (page.LeadText.Length > 0)
            _out.Append($"<p class=\"lead\">{Rich(page.LeadText)}</p>\n");
        _out.Append("</header>\n<main>\n");
        foreach (var block in page.Blocks)
            WriteBlock(block);
        EndHear();
        EndSection();
        _out.Append("</main>\n");
        if (page.FooterText.Length > 0)
            _out.Append($"<footer>{Rich(page.FooterText)}</footer>\n");
        _out.Append("</body>\n</html>\n");
    }

    private void WriteBlock(Block block)
    {
        if (block is not AudioBlock)
            EndHear();
        switch (block)
        {
            case HeadingBlock heading:
                WriteHeading(heading);
                break;
            case TextBlock text:
                _out.Append($"<p{(text.IsLead ? " class=\"lead\"" : "")}>{Rich(text.Text)}</p>\n");
                break;
            case CommandsBlock commands:
                foreach (var line in commands.Lines)
                    _out.Append($"<pre><code>{Escape(line)}</code></pre>\n");
                break;
            case TableBlock { Table: var table }:
                WriteTable(table);
                break;
            case FigureBlock figure:
                WriteFigure(figure.Plot.ToSvg, figure.Caption);
                break;
            case ColumnsBlock columns:
                foreach (var inner in columns.Left.Concat(columns.Right))
                    WriteBlock(inner);
                break;
            case DiagramBlock { Diagram: var diagram }:
                WriteFigure(diagram.ToSvg, "");
                break;
            case ChecklistBlock checklist:
                _out.Append("<ul class=\"checks\">\n");
                foreach (var step in checklist.Steps)
                    _out.Append($"<li>{SvgWriter.Sign(Signs.Box)}<span>{Rich(step)}</span></li>\n");
                _out.Append("</ul>\n");
                break;
            case FactsBlock facts:
                _out.Append("<dl>\n");
                foreach (var (name, value) in facts.Facts)
                    _out.Append($"<dt>{Rich(name)}</dt><dd>{Rich(value)}</dd>\n");
                _out.Append("</dl>\n");
                break;
            case CautionBlock caution:
                var role = SvgWriter.ClassName(Signs.InkOf(caution.Kind));
                _out.Append($"<div class=\"caution\">{SvgWriter.Sign(Signs.Marks(caution.Kind))}");
                _out.Append($"<p><span class=\"{role}\">{Escape(caution.Word)}:</span> {Rich(caution.Text)}</p></div>\n");
                break;
            case AudioBlock audio:
                WriteAudio(audio);
                break;
            default:
                throw new NotSupportedException($"{block.GetType().Name} has no form on a page.");
        }
    }

    private void WriteHeading(HeadingBlock heading)
    {
        if (heading.Level > 2)
        {
            _out.Append($"<h3>{Rich(heading.Text)}</h3>\n");
            return;
        }
        EndSection();
        _sectionNumber++;
        _out.Append($"<section aria-labelledby=\"section-{_sectionNumber}\">\n");
        _out.Append($"<h2 id=\"section-{_sectionNumber}\">{Rich(heading.Text)}</h2>\n");
    }

    private void EndSection()
    {
        if (_sectionNumber > 0)
            _out.Append("</section>\n");
    }

    // The roles say again what the elements say, because a table that is laid out as blocks on a phone loses them otherwise.
    private void WriteTable(ReportTable table)
    {
        _out.Append("<table role=\"table\">\n");
        if (table.Caption.Length > 0)
            _out.Append($"<caption>{Rich(table.Caption)}</caption>\n");
        _out.Append("<thead role=\"rowgroup\"><tr role=\"row\">");
        foreach (var column in table.Columns)
            _out.Append($"<th role=\"columnheader\" scope=\"col\"{FiguresClass(column)}>{Rich(column.Name)}</th>");
        _out.Append("</tr></thead>\n<tbody role=\"rowgroup\">\n");
        foreach (var row in table.Rows)
        {
            _out.Append("<tr role=\"row\">");
            for (var i = 0; i < row.Count; i++)
            {
                var content = InInk(row[i]);
                _out.Append(
                    i == 0
                        ? $"<th role=\"rowheader\" scope=\"row\"{FiguresClass(table.Columns[i])}>{content}</th>"
                        : $"<td role=\"cell\"{FiguresClass(table.Columns[i])} data-name=\"{Escape(table.Columns[i].Name)}\"><span>{content}</span></td>"
                );
            }
            _out.Append("</tr>\n");
        }
        _out.Append("</tbody>\n</table>\n");
    }

    // Drawn at several widths: the style sheet shows the one that fits, so that its type stays as large as that of the page.
    private void WriteFigure(Func<double, SvgOptions, string> draw, string caption)
    {
        _figureNumber++;
        _out.Append("<figure>\n");
        foreach (var width in PageStyle.FigureWidthsPixels)
        {
            var name = PageStyle.FigureClass(width);
            var options = new SvgOptions
            {
                IsStandalone = false,
                IdPrefix = $"figure-{_figureNumber}-{name}",
                ClassNames = name,
            };
            _out.Append(draw(width, options));
        }
        if (caption.Length > 0)
            _out.Append($"<figcaption>{Rich(caption)}</figcaption>\n");
        _out.Append("</figure>\n");
    }

    private void WriteAudio(AudioBlock audio)
    {
        if (!_isInHear)
            _out.Append("<div class=\"hear\">\n");
        _isInHear = true;
        var address = RelativeAddress.Of(audio.RelativePath);
        _out.Append($"<p>{Rich(audio.Label)}</p><audio controls=\"\" preload=\"metadata\" src=\"{Escape(address)}\"");
        _out.Append($" aria-label=\"{Escape(audio.Label)}\"></audio>\n");
    }

    private void EndHear()
    {
        if (_isInHear)
            _out.Append("</div>\n");
        _isInHear = false;
    }

    private static string FiguresClass(TableColumn column) => column.IsFigures ? " class=\"figures\"" : "";

    private static string InInk(TableCell cell) =>
        cell.Ink switch
        {
            InkRole.Warn => $"<span class=\"warn\">{Rich(cell.Text)}</span>",
            InkRole.Bad => $"<span class=\"bad\">{Rich(cell.Text)}</span>",
            InkRole.Soft => $"<span class=\"soft\">{Rich(cell.Text)}</span>",
            InkRole.Accent => $"<span class=\"accent\">{Rich(cell.Text)}</span>",
            _ => Rich(cell.Text),
        };

    private static string Rich(string text)
    {
        var html = new StringBuilder();
        var runs = TextRuns.Of(text);
        for (var i = 0; i < runs.Count; i++)
        {
            var escaped = Escape(runs[i].Text);
            if (runs[i].Face == Face.Figures)
            {
                // A number and its unit stay on one line.
                var unit = i + 1 < runs.Count && IsUnit(runs[i + 1]) ? runs[++i] : null;
                var number = $"<span class=\"n\">{escaped}</span>";
                html.Append(unit is null ? number : $"<span class=\"q\">{number}<span class=\"u\">{Escape(unit.Text)}</span></span>");
            }
            else
                html.Append(escaped);
        }
        return html.ToString();
    }

    private static bool IsUnit(TextRun run) => run is { Face: Face.Words, Ink: InkRole.Soft };

    private static string Escape(string text) => SvgWriter.Escape(text);
}
