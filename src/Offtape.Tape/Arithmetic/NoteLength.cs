namespace Offtape.Tape;

/// <summary>A note by its share of a whole note, four beats long.</summary>
/// <param name="Name">"1/8", "1/8 dotted", "1/8 triplet".</param>
/// <param name="Beats">Length in beats of a quarter note.</param>
public sealed record NoteLength(string Name, double Beats)
{
    /// <summary>Half notes to thirty-seconds, each plain, dotted (half as long again) and as one of three in the time of two; longest first.</summary>
    public static IReadOnlyList<NoteLength> All { get; } =
    [
        .. new[] { 2, 4, 8, 16, 32 }
            .SelectMany(parts =>
                new[]
                {
                    new NoteLength($"1/{parts}", 4.0 / parts),
                    new NoteLength($"1/{parts} dotted", 4.0 / parts * 3 / 2),
                    new NoteLength($"1/{parts} triplet", 4.0 / parts * 2 / 3),
                }
            )
            .OrderByDescending(n => n.Beats),
    ];

    /// <summary>A note as one types it: <c>1/8</c>, <c>1/8d</c> or <c>1/8.</c>, <c>1/8t</c>; null where it is none of them.</summary>
    public static NoteLength? Parse(string text)
    {
        var plain = text.Trim();
        return Named(plain)
            ?? plain switch
            {
                [.. var note, 'd' or 'D' or '.'] => Named($"{note} dotted"),
                [.. var note, 't' or 'T'] => Named($"{note} triplet"),
                _ => null,
            };
    }

    public double Seconds(double tempoBpm) => Beats * 60 / tempoBpm;

    private static NoteLength? Named(string name) => All.FirstOrDefault(n => n.Name.Equals(name, StringComparison.OrdinalIgnoreCase));
}
