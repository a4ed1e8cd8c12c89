using System.Globalization;
using Offtape.Base;

namespace Offtape.Bench;

/// <summary>How a turning part that somebody has measured is written: <c>idler=12mm</c>, <c>belt=4.2Hz</c>.</summary>
public static class KnownPartWords
{
    private const double MostMm = 1000;
    private const double MostHz = 1000;

    private static readonly (string Word, TurningPart Part)[] Parts =
    [
        ("capstan", TurningPart.Capstan),
        ("pinch-roller", TurningPart.PinchRoller),
        ("idler", TurningPart.Idler),
        ("hub", TurningPart.Hub),
        ("belt", TurningPart.Belt),
        ("motor", TurningPart.Motor),
    ];

    /// <summary>The words for parts.</summary>
    public static IReadOnlyList<string> All { get; } = [.. Parts.Select(p => p.Word)];

    /// <exception cref="Fault">Usage: no such part, or no size above 0 in mm or Hz.</exception>
    public static KnownPart Parse(string text)
    {
        var (word, size) = text.Split('=', 2) is [var w, var s] ? (w.Trim(), s.Trim()) : (text.Trim(), "");
        var index = Array.FindIndex(Parts, p => string.Equals(p.Word, word, StringComparison.OrdinalIgnoreCase));
        if (index < 0)
            throw Fault.Usage($"\"{text}\" names no turning part", $"There are {Words.List([.. All])}, as in idler=12mm or belt=4.2Hz.");
        if (Number(size, "mm", MostMm) is { } mm)
            return new KnownPart(Parts[index].Part, mm);
        if (Number(size, "Hz", MostHz) is { } hz)
            return new KnownPart(Parts[index].Part, null, hz);
        throw Fault.Usage(
            $"\"{text}\" gives no size",
            "Write the diameter where the tape or its rim runs (idler=12mm), or how often it turns a second (belt=4.2Hz)."
        );
    }

    private static double? Number(string text, string unit, double most) =>
        text.EndsWith(unit, StringComparison.OrdinalIgnoreCase)
        && double.TryParse(text[..^unit.Length], NumberStyles.Float, CultureInfo.InvariantCulture, out var value)
        && value > 0
        && value <= most
            ? value
            : null;
}
