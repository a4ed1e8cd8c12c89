using System.Collections.Frozen;
using Offtape.Base;

namespace Offtape.Report;

/// <summary>Which of the two faces a run of text is set in.</summary>
internal enum Face
{
    Words,
    Figures,
}

/// <summary>A stretch of text in one face and one colour.</summary>
internal sealed record TextRun(string Text, Face Face, InkRole Ink);

/// <summary>Splits plain text so that numbers stand in the monospaced face and units, after a thin space or as a known unit after any, in soft ink.</summary>
internal static class TextRuns
{
    private static readonly FrozenSet<string> Units = FrozenSet.ToFrozenSet([
        "ms",
        "s",
        "min",
        "h",
        "%",
        "cents",
        "cent",
        "dB",
        "dBFS",
        "dBTP",
        "LUFS",
        "LU",
        "Hz",
        "kHz",
        "mm",
        "cm",
        "m",
        "cm/s",
        "in/s",
        "BPM",
    ]);

    public static IReadOnlyList<TextRun> Of(string text, InkRole ink = InkRole.Ink)
    {
        var runs = new List<TextRun>();
        var wordsStart = 0;
        var at = 0;
        while (at < text.Length)
        {
            if (!StartsNumber(text, at))
            {
                at++;
                continue;
            }
            Add(runs, text[wordsStart..at], Face.Words, ink);
            var end = NumberEnd(text, at);
            AddFigures(runs, text[at..end], ink);
            at = end;
            var unitEnd = UnitEnd(text, at);
            if (unitEnd > at)
                Add(runs, text[at..unitEnd], Face.Words, ink is InkRole.Ink ? InkRole.Soft : ink);
            at = wordsStart = unitEnd;
        }
        Add(runs, text[wordsStart..], Face.Words, ink);
        return runs;
    }

    /// <summary>A text that is one number.</summary>
    public static IReadOnlyList<TextRun> Figures(string number, InkRole ink)
    {
        var runs = new List<TextRun>();
        AddFigures(runs, number, ink);
        return runs;
    }

    // A number begins with a digit, or with a sign before one, where no letter or digit stands just before: "S2" is a name.
    private static bool StartsNumber(string text, int at)
    {
        if (at > 0 && (char.IsLetterOrDigit(text[at - 1]) || text[at - 1] == '_'))
            return false;
        if (char.IsAsciiDigit(text[at]))
            return true;
        return (text[at] is Words.Minus or '+' or '±') && at + 1 < text.Length && (char.IsAsciiDigit(text[at + 1]) || text[at + 1] == '∞');
    }

    private static int NumberEnd(string text, int at)
    {
        var end = at + 1;
        while (end < text.Length)
        {
            var digitFollows = end + 1 < text.Length && char.IsAsciiDigit(text[end + 1]);
            if (char.IsAsciiDigit(text[end]) || text[end] == '∞')
                end++;
            else if (digitFollows && (text[end] is '.' or ':' or ',' or Words.ThinSpace))
                end += 2;
            else
                break;
        }
        return end;
    }

    private static int UnitEnd(string text, int at)
    {
        if (at < text.Length && text[at] == ' ')
            return NamedUnitEnd(text, at);
        if (at >= text.Length || text[at] != Words.ThinSpace)
            return at;
        var end = at + 1;
        while (end < text.Length && (char.IsLetter(text[end]) || text[end] is '%' or '/' or '°' or 'µ' or '²' or '√'))
            end++;
        return end == at + 1 ? at : end;
    }

    // After an ordinary space, as sentences have it, only what is a unit beyond doubt.
    private static int NamedUnitEnd(string text, int at)
    {
        var end = at + 1;
        while (end < text.Length && (char.IsLetter(text[end]) || text[end] is '%' or '/'))
            end++;
        return Units.Contains(text[(at + 1)..end]) ? end : at;
    }

    // The monospaced face gives a thin space a full digit's width, so thin spaces are set in the face of the words.
    private static void AddFigures(List<TextRun> runs, string number, InkRole ink)
    {
        var parts = number.Split(Words.ThinSpace);
        for (var i = 0; i < parts.Length; i++)
        {
            if (i > 0)
                Add(runs, Words.ThinSpace.ToString(), Face.Words, ink);
            Add(runs, parts[i], Face.Figures, ink);
        }
    }

    private static void Add(List<TextRun> runs, string text, Face face, InkRole ink)
    {
        if (text.Length > 0)
            runs.Add(new TextRun(text, face, ink));
    }
}
