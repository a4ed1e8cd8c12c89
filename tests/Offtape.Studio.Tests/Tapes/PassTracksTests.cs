using Offtape.Tape;

namespace Offtape.Studio.Tests;

/// <summary>
/// Which tracks of a tape a pass records on, worked out by hand from the published geometry (<see cref="TrackFormats"/>): the n-th channel of the send
/// is on the n-th track of the head, and a tape that was turned over lies mirrored under it.
/// </summary>
public sealed class PassTracksTests
{
    [Theory]
    // A four-track recorder and its own tape.
    [InlineData("cassette-four-track", null, "A", "1", "1")]
    [InlineData("cassette-four-track", null, "A", "3,4", "3,4")]
    [InlineData("cassette-four-track", null, "A", "1,2,3,4", "")]
    // A stereo deck in a four-track tape: its two tracks lie on the first two.
    [InlineData("cassette-four-track", "cassette-stereo", "A", "1,2", "1,2")]
    // A mono deck's one track lies over both of them, whatever is sent.
    [InlineData("cassette-four-track", "cassette-mono", "A", "1,2", "1,2")]
    // A tape for reels is under no cassette's head.
    [InlineData("two-track", "cassette-stereo", "A", "2", "2")]
    [InlineData("two-track", "full-track", "A", "1", "")]
    [InlineData("two-track", "two-track", "A", "1,2", "")]
    // Side B turned over: the quarter-track head's first track lies on 4, its second (3) on 2; the stereo cassette's on 4 and 3.
    [InlineData("quarter-track-stereo", null, "A", "2", "3")]
    [InlineData("quarter-track-stereo", null, "B", "1", "4")]
    [InlineData("quarter-track-stereo", null, "B", "2", "2")]
    [InlineData("quarter-track-stereo", null, "B", "1,2", "")]
    [InlineData("cassette-stereo", null, "b", "1", "4")]
    // One track to a side is all of it.
    [InlineData("half-track-mono", null, "A", "1,2", "")]
    // More channels than the head has tracks, and none that it has.
    [InlineData("two-track", null, "A", "2,3", "2")]
    [InlineData("two-track", null, "A", "5", "")]
    // What is not known is all of the side.
    [InlineData(null, "two-track", "A", "1", "")]
    [InlineData("two-track", null, "A", "", "")]
    [InlineData("two-track", null, "C", "1", "")]
    public void Tracks_of_the_tape_follow_from_those_of_the_send(string? tape, string? machine, string side, string send, string tracks) =>
        Assert.Equal(tracks, string.Join(',', PassTracks.Of(Format(tape), Format(machine), side, TrackList.Parse(send))));

    private static TrackFormat? Format(string? word) => word is null ? null : TrackFormatNames.Find(word);
}
