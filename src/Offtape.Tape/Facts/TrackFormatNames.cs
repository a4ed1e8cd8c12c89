namespace Offtape.Tape;

/// <summary>Track formats by short names: the one list for tapes, machines and reports, as one types and stores them.</summary>
public static class TrackFormatNames
{
    private static readonly (string Word, TrackFormat Format, string? Earlier)[] Names =
    [
        ("cassette-mono", TrackFormats.CassetteMono, null),
        ("cassette-stereo", TrackFormats.CassetteStereo, "cassette"),
        ("cassette-four-track", TrackFormats.CassetteFourTrack, "cassette-four"),
        ("full-track", TrackFormats.FullTrack, "full"),
        ("half-track-stereo", TrackFormats.HalfTrackStereoDin, "half-din"),
        ("two-track", TrackFormats.HalfTrackStereoNab, "half-nab"),
        ("half-track-mono", TrackFormats.HalfTrackMono, "half-mono"),
        ("quarter-track-stereo", TrackFormats.QuarterTrackStereo, "quarter"),
    ];

    public static IReadOnlyList<(string Word, TrackFormat Format)> All { get; } = [.. Names.Select(n => (n.Word, n.Format))];

    public static IReadOnlyList<string> Words { get; } = [.. Names.Select(n => n.Word)];

    /// <summary>The format of a word, compared without case; the shorter words of earlier reports and machines are known too. Null: it is none of them.</summary>
    public static TrackFormat? Find(string word) =>
        Names
            .FirstOrDefault(n =>
                n.Word.Equals(word.Trim(), StringComparison.OrdinalIgnoreCase)
                || string.Equals(n.Earlier, word.Trim(), StringComparison.OrdinalIgnoreCase)
            )
            .Format;

    /// <summary>The word of a format; its own name where there is none.</summary>
    public static string Of(TrackFormat format) => Names.FirstOrDefault(n => n.Format == format).Word ?? format.Name;

    /// <summary>The one spelling of a word; what is no format stays as it is.</summary>
    public static string Spelled(string word) => Find(word) is { } format ? Of(format) : word;

    /// <summary>"cassette" or "quarter-inch".</summary>
    public static string MediumOf(TrackFormat format) =>
        Of(format).StartsWith("cassette", StringComparison.Ordinal) ? "cassette" : "quarter-inch";

    /// <summary>The sides a tape of that format has: one where all tracks run one way.</summary>
    public static IReadOnlyList<string> SidesOf(TrackFormat format) =>
        [.. format.Tracks.Select(t => t.Side).Distinct().Order(StringComparer.Ordinal)];
}
