using System.Buffers;
using System.Globalization;
using System.Text;
using System.Text.Json;
using Offtape.Base;

namespace Offtape.Tape;

/// <summary>
/// A time map as JSON text: <c>{ "sourceSeconds": [..], "captureSeconds": [..], "sigmaMilliseconds": [..] }</c>. Reading back gives exactly
/// the same numbers. <c>sigmaMilliseconds</c> may be missing (all zero).
/// </summary>
public static class TimeMapJson
{
    // A map with knots 1 ms apart for ten hours; beyond this a file is damaged or not meant for us.
    private const int MostKnots = 40_000_000;

    public static string ToJson(this TimeMap map)
    {
        var buffer = new ArrayBufferWriter<byte>();
        using (var writer = new Utf8JsonWriter(buffer))
            map.WriteTo(writer);
        return Encoding.UTF8.GetString(buffer.WrittenSpan);
    }

    /// <summary>Writes the map as one JSON object, for instance as the value of <c>timeMap</c>.</summary>
    public static void WriteTo(this TimeMap map, Utf8JsonWriter writer)
    {
        writer.WriteStartObject();
        writer.WriteStartArray("sourceSeconds");
        foreach (var value in map.SourceSeconds)
            writer.WriteNumberValue(value);
        writer.WriteEndArray();
        writer.WriteStartArray("captureSeconds");
        foreach (var value in map.CaptureSeconds)
            writer.WriteNumberValue(value);
        writer.WriteEndArray();
        writer.WriteStartArray("sigmaMilliseconds");
        foreach (var value in map.SigmaSeconds)
            writer.WriteRawValue(ShiftDecimal(value.ToString("R", CultureInfo.InvariantCulture), 3), skipInputValidation: true);
        writer.WriteEndArray();
        writer.WriteEndObject();
    }

    /// <summary>Reads a map back.</summary>
    /// <param name="json">The whole text.</param>
    /// <param name="file">The file's name, for the message.</param>
    /// <exception cref="Fault">The text is no JSON, or no time map; says where.</exception>
    public static TimeMap Parse(string json, string file)
    {
        try
        {
            using var document = JsonDocument.Parse(json);
            return Read(document.RootElement, file);
        }
        catch (JsonException error)
        {
            throw Fault.Input(file, $"it is not JSON, line {error.LineNumber + 1}", error.BytePositionInLine, null, error);
        }
    }

    /// <summary>Reads a map from an element of a larger file.</summary>
    /// <exception cref="Fault">The element is no time map.</exception>
    public static TimeMap Read(JsonElement element, string file)
    {
        if (element.ValueKind != JsonValueKind.Object)
            throw Fault.Input(file, "its time map is not a JSON object");
        var source = ReadList(element, "sourceSeconds", file, 0) ?? throw Missing(file, "sourceSeconds");
        var capture = ReadList(element, "captureSeconds", file, 0) ?? throw Missing(file, "captureSeconds");
        var sigma = ReadList(element, "sigmaMilliseconds", file, -3);
        if (TimeMap.FindFlaw(source, capture, sigma) is { } flaw)
            throw Fault.Input(file, "its time map " + flaw);
        return new TimeMap(source, capture, sigma);
    }

    private static Fault Missing(string file, string name) => Fault.Input(file, $"its time map has no \"{name}\"");

    private static double[]? ReadList(JsonElement element, string name, string file, int shift)
    {
        if (!element.TryGetProperty(name, out var list) || list.ValueKind == JsonValueKind.Null)
            return null;
        if (list.ValueKind != JsonValueKind.Array)
            throw Fault.Input(file, $"\"{name}\" of its time map is not a list");
        var count = list.GetArrayLength();
        if (count > MostKnots)
            throw Fault.Input(file, $"\"{name}\" of its time map has {count} entries, more than the {MostKnots} that are read");
        var values = new double[count];
        var i = 0;
        foreach (var entry in list.EnumerateArray())
        {
            if (entry.ValueKind != JsonValueKind.Number)
                throw Fault.Input(file, $"\"{name}\" of its time map holds something other than a number at entry {i}");
            values[i++] = shift == 0 ? entry.GetDouble() : ParseShifted(entry.GetRawText(), shift);
        }
        return values;
    }

    private static double ParseShifted(string number, int places) =>
        double.Parse(ShiftDecimal(number, places), NumberStyles.Float, CultureInfo.InvariantCulture);

    /// <summary>
    /// A decimal number times 10^places, by its digits alone: seconds become milliseconds and come back without a rounding, which a
    /// multiplication in binary could not promise.
    /// </summary>
    internal static string ShiftDecimal(string number, int places)
    {
        var exponentAt = number.IndexOfAny(['e', 'E']);
        var exponent = exponentAt < 0 ? 0 : ParseExponent(number.AsSpan(exponentAt + 1));
        var mantissa = exponentAt < 0 ? number : number[..exponentAt];
        var sign = mantissa.StartsWith('-') ? "-" : "";
        mantissa = mantissa.TrimStart('-', '+');
        var pointAt = mantissa.IndexOf('.', StringComparison.Ordinal);
        var digits = mantissa.Replace(".", "", StringComparison.Ordinal);
        // value = 0.digits × 10^point
        var point = (pointAt < 0 ? mantissa.Length : pointAt) + exponent + places;
        var leading = digits.Length - digits.TrimStart('0').Length;
        digits = digits.Trim('0');
        if (digits.Length == 0)
            return "0";
        point -= leading;
        if (point > 0 && point <= 16)
        {
            return digits.Length <= point ? sign + digits.PadRight(point, '0') : $"{sign}{digits.AsSpan(0, point)}.{digits.AsSpan(point)}";
        }
        if (point is <= 0 and > -5)
            return $"{sign}0.{new string('0', -point)}{digits}";
        return digits.Length == 1 ? $"{sign}{digits}E{point - 1}" : $"{sign}{digits[0]}.{digits.AsSpan(1)}E{point - 1}";
    }

    // An exponent too long for an int is as good as infinite, and is then refused as not finite or read as zero.
    private static int ParseExponent(ReadOnlySpan<char> digits) =>
        int.TryParse(digits, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var value)
            ? Math.Clamp(value, -99_999, 99_999)
        : digits.StartsWith("-") ? -99_999
        : 99_999;
}
