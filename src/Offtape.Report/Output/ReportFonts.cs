using Offtape.Base;
using SkiaSharp;

namespace Offtape.Report;

/// <summary>
/// The two faces that PNG and PDF are set in: a sans-serif for words and a monospaced one for numbers, found among the installed fonts. Open
/// families come first, so that machines that have them print alike. SVG and HTML need none of this: they name families and let the viewer choose.
/// </summary>
public sealed class ReportFonts
{
    private static readonly string[] _wordsFamilies =
    [
        "DejaVu Sans",
        "Noto Sans",
        "Liberation Sans",
        "Open Sans",
        "Roboto",
        "Segoe UI",
        "Helvetica Neue",
        "Helvetica",
        "Arial",
        "Verdana",
    ];

    private static readonly string[] _figuresFamilies =
    [
        "DejaVu Sans Mono",
        "Noto Sans Mono",
        "Liberation Mono",
        "Roboto Mono",
        "Cascadia Mono",
        "Consolas",
        "Menlo",
        "SF Mono",
        "Courier New",
    ];

    private ReportFonts(SKTypeface? words, SKTypeface? figures)
    {
        WordsFace = words;
        FiguresFace = figures ?? words;
        Notices = (words, figures) switch
        {
            (null, null) =>
            [
                new Notice(
                    "no-font",
                    "No font is installed, so the words in PNG and PDF are missing; SVG and HTML have them. Install DejaVu Sans (fonts-dejavu-core)."
                ),
            ],
            (not null, null) =>
            [
                new Notice(
                    "no-monospaced-font",
                    "No monospaced font is installed, so numbers in PNG and PDF do not line up. Install DejaVu Sans Mono (fonts-dejavu-core)."
                ),
            ],
            _ => [],
        };
        if (words is null)
            WordsFace = figures;
    }

    /// <summary>The family that words are set in; null where no font is installed.</summary>
    public string? WordsFamily => WordsFace?.FamilyName;

    /// <summary>The family that numbers are set in; null where no font is installed.</summary>
    public string? FiguresFamily => FiguresFace?.FamilyName;

    /// <summary>What the user should know: one notice when a face is missing, none otherwise.</summary>
    public IReadOnlyList<Notice> Notices { get; }

    internal SKTypeface? WordsFace { get; }

    internal SKTypeface? FiguresFace { get; }

    /// <summary>Looks through the installed fonts.</summary>
    public static ReportFonts Find()
    {
        var manager = SKFontManager.Default;
        var installed = manager.FontFamilies.ToArray();
        return Find(installed, manager.MatchFamily, FontFiles.Find);
    }

    /// <summary>The search itself, over any set of fonts.</summary>
    /// <param name="installed">The families that there are.</param>
    /// <param name="byFamily">A face by its family; may answer with another family or null.</param>
    /// <param name="byFile">A face from a font file outside the system's own list, by family; null where there is none.</param>
    internal static ReportFonts Find(
        IReadOnlyList<string> installed,
        Func<string, SKTypeface?> byFamily,
        Func<string, SKTypeface?> byFile
    ) =>
        new(
            First(_wordsFamilies, installed, byFamily, byFile, isFixedPitch: false),
            First(_figuresFamilies, installed, byFamily, byFile, isFixedPitch: true)
        );

    private static SKTypeface? First(
        string[] wanted,
        IReadOnlyList<string> installed,
        Func<string, SKTypeface?> byFamily,
        Func<string, SKTypeface?> byFile,
        bool isFixedPitch
    )
    {
        foreach (var family in wanted)
        {
            // A font manager may answer with its default face when it has not the one asked for: the name must match.
            if (byFamily(family) is { } face && string.Equals(face.FamilyName, family, StringComparison.OrdinalIgnoreCase))
                return face;
        }
        foreach (var family in wanted)
        {
            if (byFile(family) is { } face)
                return face;
        }
        // Any face that can write a price list: letters, digits and the true minus; in the order of names, so that it is always the same.
        foreach (var family in installed.Order(StringComparer.Ordinal))
        {
            if (byFamily(family) is { } face && face.ContainsGlyphs("Ag0\u2212") && (!isFixedPitch || face.IsFixedPitch))
                return face;
        }
        return null;
    }
}
