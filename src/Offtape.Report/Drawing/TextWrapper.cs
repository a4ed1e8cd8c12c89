namespace Offtape.Report;

/// <summary>Breaks text into lines at spaces; a word wider than a line is broken where it must be. Numbers keep their units beside them.</summary>
internal static class TextWrapper
{
    /// <summary>Lines of at most <paramref name="width"/> pixels and <paramref name="characters"/> characters.</summary>
    public static IReadOnlyList<IReadOnlyList<TextRun>> Wrap(
        IReadOnlyList<TextRun> runs,
        double width,
        double size,
        int characters = TypeSize.ColumnCharacters
    )
    {
        var lines = new List<IReadOnlyList<TextRun>>();
        var line = new Line(width, size, characters);
        foreach (var word in Words(runs))
        {
            if (line.Fits(word))
            {
                line.Add(word);
                continue;
            }
            if (!line.IsEmpty)
                lines.Add(line.Take());
            // A word that fits no line is broken after its hyphens and the like (file names have them), else between characters.
            foreach (var part in line.Fits(word) ? [word] : Parts(word))
            {
                foreach (var letter in FitsAlone(part, width, size, characters) ? [part] : Letters(part))
                {
                    if (!line.Fits(letter) && !line.IsEmpty)
                        lines.Add(line.Take());
                    line.Add(letter);
                }
            }
        }
        if (!line.IsEmpty || lines.Count == 0)
            lines.Add(line.Take());
        return lines;
    }

    /// <summary>One line, cut with an ellipsis where it is too wide.</summary>
    public static IReadOnlyList<TextRun> Shorten(IReadOnlyList<TextRun> runs, double width, double size)
    {
        if (TextMetrics.Width(runs, size) <= width)
            return runs;
        var letters = runs.SelectMany(Characters).ToList();
        var ellipsis = new TextRun("…", Face.Words, runs[0].Ink);
        while (letters.Count > 0 && TextMetrics.Width([.. letters, ellipsis], size) > width)
            letters.RemoveAt(letters.Count - 1);
        return Joined([.. letters, ellipsis]);
    }

    // Each word with the spaces before it.
    private static IEnumerable<IReadOnlyList<TextRun>> Words(IReadOnlyList<TextRun> runs)
    {
        var word = new List<TextRun>();
        var hasLetters = false;
        foreach (var run in runs)
        {
            var start = 0;
            for (var i = 0; i <= run.Text.Length; i++)
            {
                var isSpace = i < run.Text.Length && IsSpace(run.Text[i]);
                if (isSpace && hasLetters)
                {
                    if (i > start)
                        word.Add(run with { Text = run.Text[start..i] });
                    yield return word;
                    (word, hasLetters, start) = ([], false, i);
                }
                else if (i < run.Text.Length && !isSpace)
                    hasLetters = true;
            }
            if (start < run.Text.Length)
                word.Add(run with { Text = run.Text[start..] });
        }
        if (hasLetters)
            yield return word;
    }

    private static bool IsSpace(char character) => character is ' ' or '\t' or '\n' or '\r';

    private static bool FitsAlone(IReadOnlyList<TextRun> part, double width, double size, int characters) =>
        new Line(width, size, characters).Fits(part);

    private static IEnumerable<IReadOnlyList<TextRun>> Parts(IReadOnlyList<TextRun> word)
    {
        var part = new List<TextRun>();
        foreach (var letter in Letters(word))
        {
            part.Add(letter[0]);
            if (letter[0].Text is not ("-" or "_" or "." or "/" or "\\"))
                continue;
            yield return Joined(part);
            part = [];
        }
        if (part.Count > 0)
            yield return Joined(part);
    }

    private static IEnumerable<IReadOnlyList<TextRun>> Letters(IReadOnlyList<TextRun> word) =>
        word.SelectMany(Characters).Where(c => !IsSpace(c.Text[0])).Select(c => (IReadOnlyList<TextRun>)[c]);

    private static IEnumerable<TextRun> Characters(TextRun run)
    {
        for (var i = 0; i < run.Text.Length; i++)
        {
            var length = char.IsHighSurrogate(run.Text[i]) && i + 1 < run.Text.Length ? 2 : 1;
            yield return run with
            {
                Text = run.Text.Substring(i, length),
            };
            i += length - 1;
        }
    }

    private static List<TextRun> Joined(IEnumerable<TextRun> parts)
    {
        var joined = new List<TextRun>();
        foreach (var part in parts)
        {
            if (joined.Count > 0 && joined[^1].Face == part.Face && joined[^1].Ink == part.Ink)
                joined[^1] = part with { Text = joined[^1].Text + part.Text };
            else
                joined.Add(part);
        }
        return joined;
    }

    private sealed class Line(double width, double size, int characters)
    {
        private readonly List<TextRun> _parts = [];
        private double _width;
        private int _characters;

        public bool IsEmpty => _parts.Count == 0;

        public bool Fits(IReadOnlyList<TextRun> word)
        {
            var (added, count) = (0.0, 0);
            foreach (var run in IsEmpty ? WithoutLeadingSpace(word) : word)
            {
                added += TextMetrics.Width(run.Text, run.Face, size);
                count += run.Text.Length;
            }
            return _width + added <= width && _characters + count <= characters;
        }

        public void Add(IReadOnlyList<TextRun> word)
        {
            foreach (var run in IsEmpty ? [.. WithoutLeadingSpace(word)] : word)
            {
                _parts.Add(run);
                _width += TextMetrics.Width(run.Text, run.Face, size);
                _characters += run.Text.Length;
            }
        }

        public List<TextRun> Take()
        {
            var line = Joined(_parts);
            _parts.Clear();
            (_width, _characters) = (0, 0);
            return line;
        }

        private static IEnumerable<TextRun> WithoutLeadingSpace(IReadOnlyList<TextRun> word)
        {
            var isStart = true;
            foreach (var run in word)
            {
                var text = isStart ? run.Text.TrimStart(' ', '\t', '\n', '\r') : run.Text;
                if (text.Length == 0)
                    continue;
                isStart = false;
                yield return run with
                {
                    Text = text,
                };
            }
        }
    }
}
