using Offtape.Base;
using Offtape.Studio;
using Offtape.Tape;

namespace Offtape.Web.Taping;

/// <summary>A tape as it is filled in on the page.</summary>
public sealed class TypedTape
{
    public string Name { get; set; } = "";

    /// <summary>C60, 1800ft, 540m; empty: not known.</summary>
    public string Length { get; set; } = "";

    /// <summary>A word of <see cref="TrackFormatNames"/>; empty: not known.</summary>
    public string Format { get; set; } = "";

    public string Type { get; set; } = "";

    public string Note { get; set; } = "";

    /// <exception cref="Fault">Usage: a length or format that nobody understands, or both contradict each other.</exception>
    public TapeEntry ToEntry()
    {
        var (name, length) = (Name.Trim(), Length.Trim());
        if (name.Length == 0)
            throw Fault.Usage("The tape has no name", "Give it one, and write it on the box as well.");
        double? metres =
            length.Length == 0
                ? null
                : TapeLengths.MetresOf(length)
                    ?? throw Fault.Usage($"\"{length}\" is no length of tape", "Write a cassette as C60, or a length as 1800ft or 540m.");
        var format = Format.Length == 0 ? null : TrackFormatNames.Find(Format) ?? throw Fault.Usage($"\"{Format}\" is no format of tracks");
        var isCassette = length.StartsWith("c", StringComparison.OrdinalIgnoreCase);
        if (isCassette && format is not null && TrackFormatNames.MediumOf(format) != "cassette")
            throw Fault.Usage(
                $"{length} is a cassette, and {TrackFormatNames.Of(format)} is not",
                "Give the length in metres or feet, or choose another format."
            );
        return new TapeEntry(name)
        {
            Medium =
                format is not null ? TrackFormatNames.MediumOf(format)
                : isCassette ? "cassette"
                : null,
            Type = Type.Trim() is { Length: > 0 } type ? type : null,
            LengthMetres = metres,
            ThicknessMicrometres = TapeLengths
                .Cassettes.FirstOrDefault(c => isCassette && c.LengthMetres == metres)
                ?.TotalThicknessMicrometres,
            Format = format,
            Note = Note.Trim(),
        };
    }

    /// <summary>What is known already, to be changed.</summary>
    public static TypedTape Of(TapeEntry tape) =>
        new()
        {
            Name = tape.Name,
            Length = tape.LengthMetres is { } metres
                ? TapeLengths.Cassettes.FirstOrDefault(c => tape.IsCassette && c.LengthMetres == metres)?.Name
                    ?? string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{metres:0.##}m")
                : "",
            Format = tape.Format is { } format ? TrackFormatNames.Of(format) : "",
            Type = tape.Type ?? "",
            Note = tape.Note,
        };
}
