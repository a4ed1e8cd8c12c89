namespace Offtape.Report;

/// <summary>
/// Widths of text for layout, without any font installed, so that every machine lays out alike. The numbers are the advance widths of a
/// wide open sans-serif (DejaVu Sans 2.37, in thousandths of the size): other system faces are narrower, so what fits here fits there.
/// </summary>
internal static class TextMetrics
{
    // From the font's hmtx table, U+0020 to U+007E.
    private static readonly short[] _asciiAdvances =
    [
        318,
        401,
        460,
        838,
        636,
        950,
        780,
        275,
        390,
        390,
        500,
        838,
        318,
        361,
        318,
        337,
        636,
        636,
        636,
        636,
        636,
        636,
        636,
        636,
        636,
        636,
        337,
        337,
        838,
        838,
        838,
        531,
        1000,
        684,
        686,
        698,
        770,
        632,
        575,
        775,
        752,
        295,
        295,
        656,
        557,
        863,
        748,
        787,
        603,
        787,
        695,
        635,
        611,
        732,
        684,
        989,
        685,
        611,
        685,
        390,
        337,
        390,
        838,
        500,
        500,
        613,
        635,
        550,
        635,
        615,
        352,
        635,
        634,
        278,
        278,
        579,
        278,
        974,
        634,
        612,
        635,
        635,
        411,
        521,
        392,
        634,
        592,
        818,
        592,
        592,
        525,
        636,
        337,
        636,
        838,
    ];

    private const double FiguresAdvance = 0.602;
    private const double ThinSpaceAdvance = 0.2;

    /// <summary>No Latin letter of the face is wider than this.</summary>
    private const double WidestAdvance = 1.0;

    /// <summary>Height above and below the baseline, in sizes.</summary>
    public const double Ascent = 0.93;

    public const double Descent = 0.24;

    public static double Width(string text, Face face, double size)
    {
        var width = 0.0;
        foreach (var character in text)
            width += face == Face.Figures ? FiguresAdvance : WordsAdvance(character);
        return width * size;
    }

    public static double Width(IReadOnlyList<TextRun> runs, double size)
    {
        var width = 0.0;
        foreach (var run in runs)
            width += Width(run.Text, run.Face, size);
        return width;
    }

    private static double WordsAdvance(char character) =>
        character switch
        {
            '\u2009' => ThinSpaceAdvance,
            '\u00A0' => 0.318,
            >= ' ' and <= '~' => _asciiAdvances[character - ' '] / 1000.0,
            >= '\u00C0' and <= '\u024F' => 0.787,
            '\u00B0' or '\u00B7' => 0.5,
            '\u2018' or '\u2019' => 0.318,
            '\u201C' or '\u201D' => 0.518,
            _ => WidestAdvance,
        };
}
