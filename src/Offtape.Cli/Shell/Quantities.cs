using System.CommandLine;
using System.CommandLine.Parsing;
using System.Globalization;
using Offtape.Base;

namespace Offtape.Cli.Shell;

/// <summary>
/// Options that hold a quantity. A number may be pasted back from our own output (true minus sign, thin spaces); a tape speed may be
/// given in inches with its unit (<c>7.5ips</c>, <c>7.5in/s</c>). What is not a number is refused with the unit that was wanted.
/// </summary>
internal static class Quantities
{
    public static Option<double?> Number(
        string name,
        string unit,
        string words,
        double above = double.NegativeInfinity,
        double below = double.PositiveInfinity
    ) =>
        new(name)
        {
            Description = words,
            HelpName = unit,
            CustomParser = result => Parse(result, name, unit, TypedQuantity.Number, above, below),
        };

    /// <summary>A tape speed in centimetres per second.</summary>
    public static Option<double?> Speed(string name, string words) =>
        new(name)
        {
            Description = words,
            HelpName = "CM/S",
            CustomParser = result => Parse(result, name, "a tape speed in cm/s, or in inches as 7.5ips", TypedQuantity.Speed, 0.5, 400),
        };

    /// <summary>A whole number within limits.</summary>
    public static Option<int?> Whole(string name, string unit, string words, int least, int most) =>
        new(name)
        {
            Description = words,
            HelpName = unit,
            CustomParser = result =>
            {
                var text = result.Tokens[0].Value;
                if (
                    int.TryParse(text, NumberStyles.Integer, CultureInfo.InvariantCulture, out var value)
                    && value >= least
                    && value <= most
                )
                    return value;
                result.AddError($"{name} wants a whole number from {least} to {most}, not \"{text}\"");
                return null;
            },
        };

    /// <summary>One word of a few.</summary>
    public static Option<string?> Choice(string name, string words, params string[] choices) =>
        new(name)
        {
            Description = words,
            HelpName = string.Join('|', choices),
            CustomParser = result =>
            {
                var text = result.Tokens[0].Value;
                if (choices.Contains(text, StringComparer.OrdinalIgnoreCase))
                    return text.ToLowerInvariant();
                result.AddError($"{name} is one of {string.Join(", ", choices)}, not \"{text}\"");
                return null;
            },
        };

    public static Option<string?> Text(string name, string value, string words) => new(name) { Description = words, HelpName = value };

    /// <summary>An option that takes several values, or stands there several times.</summary>
    public static Option<string[]> Texts(string name, string value, string words) =>
        new(name)
        {
            Description = words,
            HelpName = value,
            AllowMultipleArgumentsPerToken = value.EndsWith("...", StringComparison.Ordinal),
            Arity = ArgumentArity.OneOrMore,
        };

    public static Option<bool> Switch(string name, string words) => new(name) { Description = words, Arity = ArgumentArity.Zero };

    /// <summary>Tracks as <c>1,2</c>; empty where nothing was said.</summary>
    /// <exception cref="Fault">Usage: the text is no list of numbers.</exception>
    public static IReadOnlyList<int> Tracks(ParseResult parsed, Option<string?> option)
    {
        if (parsed.GetValue(option) is not { } text)
            return [];
        var numbers = text.Split(',').Select(t => int.TryParse(t, out var n) && n is > 0 and <= 64 ? n : 0).ToArray();
        return numbers.All(n => n > 0)
            ? numbers.Distinct().Order().ToArray()
            : throw Fault.Usage($"{option.Name} are numbers as 1,2, not \"{text}\"");
    }

    private static double? Parse(ArgumentResult result, string name, string unit, Func<string, double?> read, double above, double below)
    {
        var text = result.Tokens[0].Value;
        if (read(text) is not { } value)
        {
            result.AddError($"{name} wants {(unit.Contains(' ') ? unit : "a number in " + unit)}, not \"{text}\"");
            return null;
        }
        if (value > above && value < below)
            return value;
        result.AddError(
            double.IsInfinity(below)
                ? $"{name} has to be above {above}, not {text}"
                : $"{name} lies between {above} and {below}, not {text}"
        );
        return null;
    }
}
