namespace Offtape.Studio;

/// <summary>Mains voltages and frequencies as they are written: <c>230</c>, <c>220-240</c>, <c>110/220</c>, <c>50/60</c>.</summary>
internal static class MainsWords
{
    /// <exception cref="FormatException">It is no voltage.</exception>
    public static IReadOnlyList<(double From, double To)> Volts(string text) =>
        [
            .. Split(text, 'V')
                .Select(part =>
                {
                    var ends = part.Split('-', '–').Select(e => Within(e, 6, 480, "a mains voltage")).ToArray();
                    return ends.Length <= 2
                        ? (ends[0], ends[^1])
                        : throw new FormatException($"\"{text}\" is not a mains voltage; write 230, 220-240 or 110/220");
                }),
        ];

    /// <exception cref="FormatException">It is no frequency.</exception>
    public static IReadOnlyList<double> Hertz(string text) =>
        [
            .. Split(text.Replace("Hz", "", StringComparison.OrdinalIgnoreCase), 'H')
                .SelectMany(part => part.Split('-', '–'))
                .Select(p => Within(p, 16, 400, "a mains frequency")),
        ];

    private static IEnumerable<string> Split(string text, char unit) =>
        text.TrimEnd(' ', unit, char.ToLowerInvariant(unit))
            .Split('/', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries);

    private static double Within(string text, double least, double most, string what) =>
        MoneyWords.Positive(text) is var number && number >= least && number <= most
            ? number
            : throw new FormatException($"\"{text}\" is not {what}");
}
