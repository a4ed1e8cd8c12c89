namespace Offtape.Report;

/// <summary>The four sizes of type, in CSS pixels, and the families asked for; there are no others.</summary>
internal static class TypeSize
{
    public const double Note = 13;
    public const double Text = 15;
    public const double Heading = 18;
    public const double Title = 24;

    /// <summary>The measure of a text column, in characters.</summary>
    public const int ColumnCharacters = 68;

    public const string WordsFamily = "system-ui, -apple-system, 'Segoe UI', 'Noto Sans', 'DejaVu Sans', 'Liberation Sans', sans-serif";
    public const string FiguresFamily =
        "ui-monospace, 'SF Mono', Menlo, Consolas, 'Noto Sans Mono', 'DejaVu Sans Mono', 'Liberation Mono', monospace";
}
