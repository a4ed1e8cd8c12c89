using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>Short words for track formats, as options and reports have them.</summary>
public static class FormatNames
{
    public static IReadOnlyList<(string Word, TrackFormat Format)> All { get; } =
    [
        ("cassette", TrackFormats.CassetteStereo),
        ("cassette-mono", TrackFormats.CassetteMono),
        ("cassette-four", TrackFormats.CassetteFourTrack),
        ("full", TrackFormats.FullTrack),
        ("half-din", TrackFormats.HalfTrackStereoDin),
        ("half-nab", TrackFormats.HalfTrackStereoNab),
        ("half-mono", TrackFormats.HalfTrackMono),
        ("quarter", TrackFormats.QuarterTrackStereo),
    ];

    /// <summary>The format of a word; null where it is none of them.</summary>
    public static TrackFormat? Find(string word) =>
        All.FirstOrDefault(f => string.Equals(f.Word, word, StringComparison.OrdinalIgnoreCase)).Format;

    /// <summary>The word of a format; its own name where there is none.</summary>
    public static string Of(TrackFormat format) => All.FirstOrDefault(f => f.Format == format) is ({ } word, not null) ? word : format.Name;
}
