namespace Offtape.Report;

/// <summary>The style sheet of a page, from the palette and the four sizes. Everything a page needs is in it; nothing is loaded.</summary>
internal static class PageStyle
{
    /// <summary>The widths that figures of a page are drawn at, in CSS pixels: for phones upright and lying, for tablets, for screens.</summary>
    public static IReadOnlyList<double> FigureWidthsPixels { get; } = [PlotOutput.NarrowWidthPixels, 480, 640, PlotOutput.WideWidthPixels];

    // A drawing is shown from this much less room than it is drawn for to this much more: 13 px of type stay 12 to 15 px.
    private const double MostShrinking = 0.92;
    private const double MostGrowing = 1.15;

    private const double PhoneBelowPixels = 720;

    public static string FigureClass(double widthPixels) => $"at-{widthPixels:0}";

    public static string Css { get; } =
        ":root{color-scheme:light dark;"
        + Variables(Palette.Light)
        + "}\n@media (prefers-color-scheme:dark){:root{"
        + Variables(Palette.Dark)
        + "}"
        + SvgWriter.RoleRules(Palette.Dark)
        + "}\n"
        + Rules
        + Figures
        + "@media print{:root{color-scheme:light;"
        + Variables(Palette.Light)
        + "}"
        + SvgWriter.RoleRules(Palette.Light)
        + "body{background:none}main{padding:0;max-width:none}figure,tr,.caution{break-inside:avoid}audio{display:none}}\n";

    private static string Variables(Palette palette) =>
        $"--paper:{palette.Paper};--sheet:{palette.Sheet};--rule:{palette.Rule};--ink:{palette.Ink};--soft:{palette.Soft};"
        + $"--accent:{palette.Accent};--wash:{palette.Wash};--warn:{palette.Warn};--bad:{palette.Bad};";

    // Each drawing is hidden but in its own range of window widths, which is that of the figure and the page's margins at both sides.
    private static string Figures =>
        string.Concat(
            FigureWidthsPixels.Select(
                (width, i) =>
                {
                    var from = i == 0 ? 0 : Window(width);
                    var before = i + 1 < FigureWidthsPixels.Count ? Window(FigureWidthsPixels[i + 1]) : double.PositiveInfinity;
                    var outside = double.IsFinite(before)
                        ? $"@media (min-width:{before:0}px){{svg.{FigureClass(width)}{{display:none}}}}\n"
                        : "";
                    if (from > 0)
                        outside += $"@media (max-width:{from - 0.02:0.##}px){{svg.{FigureClass(width)}{{display:none}}}}\n";
                    return $"svg.{FigureClass(width)}{{max-width:{Math.Floor(width * MostGrowing):0}px}}\n{outside}";
                }
            )
        );

    private static double Window(double figureWidthPixels)
    {
        var room = Math.Ceiling(figureWidthPixels * MostShrinking);
        return room + 32 < PhoneBelowPixels ? room + 32 : Math.Max(PhoneBelowPixels, room + 64);
    }

    private static string Rules =>
        $$"""
            *{box-sizing:border-box}
            html{-webkit-text-size-adjust:100%;text-size-adjust:100%}
            body{margin:0;background:var(--paper);color:var(--ink);font:15px/24px {{TypeSize.WordsFamily}}}
            header,main,footer{max-width:{{PlotOutput.WideWidthPixels + 64}}px;margin:0 auto;padding:0 32px}
            header{padding-top:40px}
            main{padding-bottom:48px}
            footer{padding-top:12px;padding-bottom:32px;color:var(--soft);font-size:13px;line-height:20px}
            h1,h2,h3{margin:0;font-weight:400;overflow-wrap:anywhere}
            h1{font-size:24px;line-height:32px}
            h2{font-size:18px;line-height:28px;margin-top:48px;padding-top:16px;border-top:1px solid var(--rule)}
            section:has(>table:last-child)+section h2{border-top:0;padding-top:0}
            h3{font-size:15px;line-height:24px;margin-top:40px;font-weight:600}
            p{margin:8px 0 0;max-width:68ch;overflow-wrap:anywhere}
            .lead{font-size:18px;line-height:28px}
            .n,text.figures{font-family:{{TypeSize.FiguresFamily}};font-variant-numeric:tabular-nums}
            .n,.q{white-space:nowrap}
            .u{color:var(--soft)}
            .warn{color:var(--warn)}.bad{color:var(--bad)}.soft{color:var(--soft)}.accent{color:var(--accent)}
            .warn .u,.bad .u,.accent .u{color:inherit}
            a{color:var(--accent)}
            :focus-visible{outline:2px solid var(--accent);outline-offset:2px}
            nav ul{list-style:none;margin:12px 0 0;padding:0;display:flex;flex-wrap:wrap;gap:4px 20px}
            table{border-collapse:collapse;width:100%;margin-top:16px}
            caption{text-align:left;color:var(--soft);font-size:13px;line-height:20px;padding-bottom:4px}
            th,td{text-align:left;font-weight:400;padding:8px 24px 8px 0;vertical-align:top;border-bottom:1px solid var(--rule)}
            th:last-child,td:last-child{padding-right:0}
            thead th{color:var(--soft);font-size:13px;line-height:20px;vertical-align:bottom}
            th.figures,td.figures{text-align:right}
            td.figures{white-space:nowrap}
            tbody th{overflow-wrap:anywhere}
            figure{margin:16px 0 0}
            figcaption{color:var(--soft);font-size:13px;line-height:20px;margin-top:8px;max-width:68ch}
            svg.plot{display:block;width:100%;height:auto;border:1px solid var(--rule);border-radius:2px}
            pre{margin:8px 0 0;white-space:pre-wrap;overflow-wrap:anywhere;padding-left:2ch;text-indent:-2ch}
            pre+p,pre+pre{margin-top:4px}
            code{font:13px/20px {{TypeSize.FiguresFamily}}}
            dl{margin:16px 0 0;display:grid;grid-template-columns:max-content 1fr;gap:4px 24px}
            dt{color:var(--soft)}
            dd{margin:0;overflow-wrap:anywhere}
            .checks{list-style:none;margin:16px 0 0;padding:0;max-width:68ch}
            .checks li{display:grid;grid-template-columns:16px 1fr;gap:12px;padding:6px 0}
            .checks svg{width:16px;height:16px;margin-top:4px}
            .caution{display:grid;grid-template-columns:16px 1fr;gap:12px;margin-top:16px;max-width:76ch}
            .caution p{margin:0}
            .caution svg{width:16px;height:16px;margin-top:4px}
            .hear{display:grid;grid-template-columns:minmax(8em,max-content) minmax(0,1fr);gap:8px 24px;align-items:center;margin-top:16px}
            .hear p{margin:0}
            audio{width:100%;max-width:480px;height:40px;display:block}
            .away{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
            @media (max-width:{{PhoneBelowPixels - 0.02}}px){
            header,main,footer{padding-left:16px;padding-right:16px}
            header{padding-top:24px}
            h2{margin-top:40px}
            table,tbody,tr,th,td{display:block}
            thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
            caption{display:block}
            tr{border-bottom:1px solid var(--rule);padding:12px 0}
            tbody tr:first-child{border-top:1px solid var(--rule)}
            th,td,th:last-child,td:last-child{border:0;padding:0}
            tbody th{padding-bottom:4px}
            tbody td{display:flex;justify-content:space-between;gap:16px;text-align:right}
            tbody td::before{content:attr(data-name);color:var(--soft);font:13px/24px {{TypeSize.WordsFamily}};text-align:left}
            td.figures{white-space:normal}
            .hear{grid-template-columns:1fr;gap:4px}
            .hear audio{margin-bottom:12px}
            dl{grid-template-columns:1fr;gap:0}
            dd{margin-bottom:8px}
            }

            """.ReplaceLineEndings("\n");
}
