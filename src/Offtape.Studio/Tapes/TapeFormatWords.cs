using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>Formats of tapes by short names, as one types and stores them.</summary>
public static class TapeFormatWords
{
    private static readonly (string Word, TrackFormat Format)[] All =
    [
        ("cassette-mono", TrackFormats.CassetteMono),
        ("cassette-stereo", TrackFormats.CassetteStereo),
        ("cassette-four-track", TrackFormats.CassetteFourTrack),
        ("full-track", TrackFormats.FullTrack),
        ("half-track-stereo", TrackFormats.HalfTrackStereoDin),
        ("two-track", TrackFormats.HalfTrackStereoNab),
        ("half-track-mono", TrackFormats.HalfTrackMono),
        ("quarter-track-stereo", TrackFormats.QuarterTrackStereo),
    ];

    public static IReadOnlyList<string> Words { get; } = [.. All.Select(f => f.Word)];

    /// <summary>Null where there is no such format.</summary>
    public static TrackFormat? Parse(string word) =>
        All.FirstOrDefault(f => f.Word.Equals(word.Trim(), StringComparison.OrdinalIgnoreCase)).Format;

    public static string Of(TrackFormat format) => All.First(f => ReferenceEquals(f.Format, format)).Word;

    /// <summary>"cassette" or "quarter-inch".</summary>
    public static string MediumOf(TrackFormat format) =>
        Of(format).StartsWith("cassette", StringComparison.Ordinal) ? "cassette" : "quarter-inch";

    /// <summary>The sides a tape of that format has: one where all tracks run one way.</summary>
    public static IReadOnlyList<string> SidesOf(TrackFormat format) =>
        [.. format.Tracks.Select(t => t.Side).Distinct().Order(StringComparer.Ordinal)];
}
