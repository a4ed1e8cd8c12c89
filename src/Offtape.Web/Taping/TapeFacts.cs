using Offtape.Report;
using Offtape.Studio;
using Offtape.Tape;

namespace Offtape.Web.Taping;

/// <summary>What a tape is, in one line.</summary>
internal static class TapeFacts
{
    public static string Of(TapeEntry tape) =>
        string.Join(
            " · ",
            new[]
            {
                tape.Format is { } format ? TrackFormatNames.Of(format).Replace('-', ' ') : tape.Medium,
                tape.Type is { } type ? $"type {type}" : null,
                tape.LengthMetres is { } metres ? Quantity.Of(metres, metres % 1 == 0 ? 0 : 1, "m") : "length not known",
                tape.Note.Length > 0 ? tape.Note : null,
            }.OfType<string>()
        );
}
