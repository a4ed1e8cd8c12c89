namespace Offtape.Report;

/// <summary>The nine colours, as <c>#RRGGBB</c>, for paper on a desk by day or by night.</summary>
public sealed record Palette(
    string Paper,
    string Sheet,
    string Rule,
    string Ink,
    string Soft,
    string Accent,
    string Wash,
    string Warn,
    string Bad
)
{
    public static readonly Palette Light = new(
        "#FBFAF6",
        "#FFFFFF",
        "#D9D4C7",
        "#1E2227",
        "#5B5F66",
        "#0F5F63",
        "#E3EFEE",
        "#8A4B00",
        "#A3222A"
    );

    public static readonly Palette Dark = new(
        "#15181B",
        "#1C2024",
        "#363C43",
        "#ECE9E1",
        "#A6ABB3",
        "#6FC7C4",
        "#1E3336",
        "#E3A857",
        "#F08A86"
    );

    public string this[InkRole role] =>
        role switch
        {
            InkRole.Paper => Paper,
            InkRole.Sheet => Sheet,
            InkRole.Rule => Rule,
            InkRole.Ink => Ink,
            InkRole.Soft => Soft,
            InkRole.Accent => Accent,
            InkRole.Wash => Wash,
            InkRole.Warn => Warn,
            InkRole.Bad => Bad,
            _ => throw new ArgumentOutOfRangeException(nameof(role), role, "There is no such ink."),
        };
}
