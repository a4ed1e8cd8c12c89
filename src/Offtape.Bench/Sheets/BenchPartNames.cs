namespace Offtape.Bench;

/// <summary>How parts and kinds of parts are named on sheets and command lines.</summary>
public static class BenchPartNames
{
    /// <summary>The word for each kind, with which all its parts are asked for at once.</summary>
    public static IReadOnlyList<(string Word, BenchPartKind Kind)> Kinds { get; } =
    [
        ("polarity", BenchPartKind.Polarity),
        ("level", BenchPartKind.LevelTone),
        ("speed", BenchPartKind.SpeedTone),
        ("silence", BenchPartKind.Silence),
        ("stairs", BenchPartKind.Staircase),
        ("multitone", BenchPartKind.Multitone),
        ("sweep", BenchPartKind.Sweep),
        ("erasure", BenchPartKind.Erasure),
    ];

    /// <summary>Whether a part is meant by one of these words.</summary>
    public static bool IsAsked(BenchPart part, IReadOnlyList<string> words) =>
        words.Count == 0
        || words.Any(w =>
            string.Equals(w, part.Name, StringComparison.OrdinalIgnoreCase)
            || Kinds.Any(k => k.Kind == part.Kind && string.Equals(k.Word, w, StringComparison.OrdinalIgnoreCase))
        );

    /// <summary>The first word that means no part; null when all do.</summary>
    public static string? FirstUnknown(IReadOnlyList<BenchPart> parts, IReadOnlyList<string> words) =>
        words.FirstOrDefault(w => !parts.Any(p => IsAsked(p, [w])));

    /// <summary>A level against operating level as names have it: <c>minus20</c>, <c>0</c>, <c>plus6</c>.</summary>
    internal static string Level(double levelDb) =>
        levelDb < 0 ? $"minus{-levelDb:0}"
        : levelDb > 0 ? $"plus{levelDb:0}"
        : "0";
}
