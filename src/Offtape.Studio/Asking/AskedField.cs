using System.Globalization;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>One thing that a question may be told: the command makes an option of it, a page a field. What is typed is read here, for both.</summary>
/// <param name="Name">As an option, without its dashes.</param>
/// <param name="Label">As a page calls it.</param>
/// <param name="Unit">Unit or shape in capitals, as a page of help has it.</param>
/// <param name="Words">What it is, for a page of help.</param>
public sealed record AskedField(string Name, string Label, string Unit, string Words)
{
    /// <summary>Slower and faster than this no tape runs, in cm/s.</summary>
    public const double LeastSpeed = 0.5;

    /// <inheritdoc cref="LeastSpeed"/>
    public const double MostSpeed = 400;

    public AskedKind Kind { get; init; }

    /// <summary>Several values may stand there.</summary>
    public bool IsList { get; init; }

    /// <summary>A number lies above this. A whole one may be this itself.</summary>
    public double Above { get; init; } = double.NegativeInfinity;

    /// <summary>A number lies below this. A whole one may be this itself.</summary>
    public double Below { get; init; } = double.PositiveInfinity;

    /// <summary>The unit as a page has it: <c>mm</c>; empty where the label says it all.</summary>
    public string UnitText { get; init; } = "";

    /// <summary>What is taken where nothing is said, or how it is written, for an empty field of a page.</summary>
    public string Hint { get; init; } = "";

    public static AskedField Number(string name, string label, string unit, string unitText, string words, double above, double below) =>
        new(name, label, unit, words)
        {
            UnitText = unitText,
            Above = above,
            Below = below,
        };

    public static AskedField Whole(string name, string label, string words, int least, int most) =>
        new(name, label, "N", words)
        {
            Kind = AskedKind.Whole,
            Above = least,
            Below = most,
        };

    public static AskedField Speed(string name, string label, string words) =>
        new(name, label, "CM/S", words)
        {
            Kind = AskedKind.Speed,
            UnitText = "cm/s",
            Above = LeastSpeed,
            Below = MostSpeed,
            Hint = "as 19.05 or 7.5ips",
        };

    public static AskedField Level(string name, string label, string words) =>
        new(name, label, "LEVEL", words) { Kind = AskedKind.Level, Hint = "as 4dBu, -10dBV or 0.5V" };

    public static AskedField Text(string name, string label, string unit, string words) =>
        new(name, label, unit, words) { Kind = AskedKind.Text };

    /// <summary>Reads one value: a double, or the text itself.</summary>
    /// <param name="text">As typed.</param>
    /// <param name="called">The field, as whoever typed it knows it.</param>
    /// <param name="unit">Its unit, as they know it; empty: none.</param>
    /// <param name="value">What it says; null where it says nothing.</param>
    /// <returns>What is wrong with it, in one clause; null: nothing.</returns>
    public string? Read(string text, string called, string unit, out object? value)
    {
        value = null;
        if (Kind == AskedKind.Text)
        {
            value = text;
            return null;
        }
        if (Kind == AskedKind.Whole)
        {
            if (!int.TryParse(text, NumberStyles.Integer, CultureInfo.InvariantCulture, out var whole) || whole < Above || whole > Below)
                return $"{called} wants a whole number from {Above} to {Below}, not \"{text}\"";
            value = (double)whole;
            return null;
        }
        var number = Kind switch
        {
            AskedKind.Speed => TypedQuantity.Speed(text),
            AskedKind.Level => LevelWords.ParseDbu(text),
            _ => TypedQuantity.Number(text),
        };
        if (number is not { } read)
            return Kind switch
            {
                AskedKind.Speed => $"{called} wants a tape speed in cm/s, or in inches as 7.5ips, not \"{text}\"",
                AskedKind.Level => $"{called} wants a level with its unit, as 4dBu, -10dBV, 0.5V or 20mV, not \"{text}\"",
                _ => $"{called} wants a number{(unit.Length > 0 ? $" in {unit}" : "")}, not \"{text}\"",
            };
        if (!(read > Above && read < Below))
            return double.IsInfinity(Below)
                ? $"{called} has to be above {Above}, not {text}"
                : $"{called} lies between {Above} and {Below}, not {text}";
        value = read;
        return null;
    }
}
