using Offtape.Tape;

namespace Offtape.Studio.Tests;

/// <summary>
/// Where tracks go on a tape that is turned over, by the published geometry: tracks of both ways lie mirrored; the stereo cassette's two sides beside
/// each other, the quarter-track reel's interleaved (1 and 3 forwards, 4 and 2 backwards; R. Hess).
/// </summary>
public sealed class TapeTurnTests
{
    [Theory]
    [InlineData("full-track", true, "1>1")]
    [InlineData("half-track-stereo", true, "1>2 2>1")]
    [InlineData("two-track", true, "1>2 2>1")]
    [InlineData("cassette-four-track", true, "1>4 2>3 3>2 4>1")]
    [InlineData("half-track-mono", false, "1>2")]
    [InlineData("quarter-track-stereo", false, "1>4 3>2")]
    [InlineData("cassette-stereo", false, "1>4 2>3")]
    [InlineData("cassette-mono", false, "1>2")]
    public void Turned_over_tracks_lie_where_geometry_puts_them(string word, bool canPrintBackwards, string tracks)
    {
        var turns = TapeTurns.Of(TrackFormatNames.Find(word)!);
        Assert.Equal(canPrintBackwards, turns.CanPrintBackwards);
        Assert.Equal(tracks, string.Join(' ', turns.Tracks.Select(t => $"{t.HeadTrack}>{t.TapeTrack}")));
        // What the other side holds runs forwards when that side is up; what this side holds runs backwards.
        Assert.All(turns.Tracks, t => Assert.Equal(canPrintBackwards, t.IsBackwards));
        Assert.Contains(canPrintBackwards ? "backwards when" : "send --reverse", turns.Words, StringComparison.Ordinal);
    }

    [Fact]
    public void Formats_have_a_word_each_and_the_sides_they_can_have()
    {
        Assert.All(TrackFormats.All, f => Assert.Same(f, TrackFormatNames.Find(TrackFormatNames.Of(f))));
        Assert.Equal(["A", "B"], TrackFormatNames.SidesOf(TrackFormats.CassetteStereo));
        Assert.Equal(["A"], TrackFormatNames.SidesOf(TrackFormats.CassetteFourTrack));
        Assert.Null(TrackFormatNames.Find("eight-track"));
        Assert.Equal(
            ("cassette", "quarter-inch"),
            (TrackFormatNames.MediumOf(TrackFormats.CassetteMono), TrackFormatNames.MediumOf(TrackFormats.FullTrack))
        );
    }

    /// <summary>Words that reports and machines had before there was one list.</summary>
    [Theory]
    [InlineData("cassette", "cassette-stereo")]
    [InlineData("cassette-four", "cassette-four-track")]
    [InlineData("full", "full-track")]
    [InlineData("half-din", "half-track-stereo")]
    [InlineData("HALF-NAB", "two-track")]
    [InlineData("half-mono", "half-track-mono")]
    [InlineData("quarter", "quarter-track-stereo")]
    [InlineData("Two-Track", "two-track")]
    [InlineData("eight-track", "eight-track")]
    public void Earlier_words_mean_the_same_format(string word, string spelled) => Assert.Equal(spelled, TrackFormatNames.Spelled(word));
}
