using Offtape.Base;

namespace Offtape.Studio;

/// <summary>What a question was told, and how whoever asked calls things: the command by its options, a page by its labels.</summary>
/// <param name="values">By name of the field: a double, a text, or a list of them.</param>
/// <param name="call">A field as it is called there.</param>
/// <param name="self">The question as it is called there, at the beginning of a sentence.</param>
public sealed class Asked(IReadOnlyDictionary<string, object> values, Func<AskedField, string> call, string self)
{
    private static readonly char[] Between = [',', ';', ' '];

    public string Self => self;

    /// <summary>A field as whoever asked calls it.</summary>
    public string Call(AskedField field) => call(field);

    public string Call(params IReadOnlyList<AskedField> fields) => Words.List([.. fields.Select(call)]);

    public double? Number(AskedField field) => values.TryGetValue(field.Name, out var value) ? (double)value : null;

    public int? Whole(AskedField field) => (int?)Number(field);

    public string? Text(AskedField field) => values.TryGetValue(field.Name, out var value) ? (string)value : null;

    /// <summary>Numbers of a field that takes several; empty where nothing was said.</summary>
    public IReadOnlyList<double> Numbers(AskedField field) =>
        values.TryGetValue(field.Name, out var value) ? [.. ((IReadOnlyList<object>)value).Cast<double>()] : [];

    /// <inheritdoc cref="Numbers"/>
    public IReadOnlyList<string> Texts(AskedField field) =>
        values.TryGetValue(field.Name, out var value) ? [.. ((IReadOnlyList<object>)value).Cast<string>()] : [];

    /// <summary>Reads what was typed on a page; an empty field says nothing.</summary>
    /// <exception cref="Fault">Usage: a field holds what it cannot hold.</exception>
    public static Asked OfTyped(IReadOnlyList<AskedField> fields, Func<AskedField, string> typed, string self)
    {
        var values = new Dictionary<string, object>();
        foreach (var field in fields)
        {
            // A comma of decimals is meant as one, except where it parts the values of a list.
            var text = typed(field).Trim();
            if (text.Length == 0)
                continue;
            values[field.Name] = field.IsList
                ? Read(field, text.Split(Between, StringSplitOptions.RemoveEmptyEntries))
                : Read(field, field.Kind == AskedKind.Text ? text : text.Replace(',', '.'));
        }
        return new Asked(values, Labelled, self);
    }

    private static string Labelled(AskedField field) => $"\"{field.Label}\"";

    private static IReadOnlyList<object> Read(AskedField field, string[] texts) => [.. texts.Select(t => Read(field, t))];

    private static object Read(AskedField field, string text) =>
        field.Read(text, Labelled(field), field.UnitText, out var value) is { } trouble ? throw Fault.Usage(trouble) : value!;
}
