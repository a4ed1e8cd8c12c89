using System.Text.Json;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>Offers as JSON: a list of objects whose fields have the names of the table's columns, texts or numbers.</summary>
public static class OfferJson
{
    /// <exception cref="Fault">Input; nothing is taken then.</exception>
    public static IReadOnlyList<Offer> Read(string path, IReadOnlyList<PartType> parts) => Parse(StudioJson.Bytes(path), path, parts);

    internal static IReadOnlyList<Offer> Parse(byte[] utf8, string path, IReadOnlyList<PartType> parts)
    {
        try
        {
            using var document = JsonDocument.Parse(
                utf8,
                new JsonDocumentOptions { AllowTrailingCommas = true, CommentHandling = JsonCommentHandling.Skip }
            );
            if (document.RootElement.ValueKind != JsonValueKind.Array)
                throw Fault.Input(
                    path,
                    "it is not a list of offers",
                    null,
                    "Write [ { \"title\": ..., \"kind\": ..., \"price\": ... }, ... ]."
                );
            if (document.RootElement.GetArrayLength() > CsvText.MostRows)
                throw Fault.Input(path, $"it has more than {CsvText.MostRows} offers", null, "Keep only the offers worth looking at.");
            return [.. document.RootElement.EnumerateArray().Select((element, i) => One(element, i + 1, path, parts))];
        }
        catch (JsonException error)
        {
            throw Fault.Input(path, $"it is not JSON: something is wrong in line {error.LineNumber + 1}", null, null, error);
        }
    }

    private static Offer One(JsonElement element, int number, string path, IReadOnlyList<PartType> parts)
    {
        if (element.ValueKind != JsonValueKind.Object)
            throw Fault.Input(path, $"offer {number}: it is not an object");
        foreach (var field in element.EnumerateObject())
            if (!OfferTable.Columns.Contains(field.Name))
                throw Fault.Input(
                    path,
                    $"offer {number}, {field.Name}: there is no such field",
                    null,
                    $"The fields are {string.Join(", ", OfferTable.Columns)}."
                );
        return OfferCells.Read(
            number,
            parts,
            column => element.TryGetProperty(column, out var value) ? Text(value) : "",
            (column, error) =>
                Fault.Input(path, $"offer {number}, {column}: {error.Message}", null, "Nothing of the file was taken.", error)
        );
    }

    private static string Text(JsonElement value) =>
        value.ValueKind switch
        {
            JsonValueKind.String => value.GetString()!,
            JsonValueKind.Null => "",
            JsonValueKind.Array => string.Join(";", value.EnumerateArray().Select(Text)),
            _ => value.GetRawText(),
        };
}
