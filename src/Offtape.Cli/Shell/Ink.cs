namespace Offtape.Cli.Shell;

/// <summary>Colour on a terminal, and plain text everywhere else. Colour never says anything that the words do not.</summary>
internal sealed class Ink(bool colour)
{
    public bool Colour => colour;

    /// <summary>Colour only on a terminal that can show it, and not where <c>NO_COLOR</c> is set to anything (no-color.org).</summary>
    public static Ink For(bool isTerminal) =>
        new(
            isTerminal
                && string.IsNullOrEmpty(Environment.GetEnvironmentVariable("NO_COLOR"))
                && Environment.GetEnvironmentVariable("TERM") is not "dumb"
        );

    public string Strong(string text) => Paint("1", text);

    public string Accent(string text) => Paint("36", text);

    public string Soft(string text) => Paint("2", text);

    public string Warn(string text) => Paint("33", text);

    public string Bad(string text) => Paint("31", text);

    private string Paint(string code, string text) => colour && text.Length > 0 ? $"\e[{code}m{text}\e[0m" : text;
}
