namespace Offtape.Tape;

/// <summary>
/// The formats of cassettes and quarter-inch reels. Widths are published; where a guard band or an edge is from memory or follows from
/// arithmetic only, the source of the format says so.
/// </summary>
public static class TrackFormats
{
    private const double QuarterInchMm = 6.3;
    private const double CassetteMm = 3.81;

    // From the edge: 0.075, then 0.6 + 0.3 + 0.6 for each side with 0.66 between the sides.
    private const double CassetteEdgeMm = 0.075;
    private const double CassettePitchMm = 0.9;
    private const double CassetteSidePitchMm = 1.26;

    private const string CassetteSource =
        "IEC 60094-7 track widths by encyclopaedia (1.5 mm mono; 0.6 mm each, 0.3 mm apart, stereo); 0.66 mm between the sides from memory";

    public static TrackFormat CassetteMono { get; } =
        new(
            "cassette, mono",
            CassetteMm,
            [
                new(1, CassetteEdgeMm + 0.75, 1.5, "A", TrackDirection.Forward),
                new(2, CassetteMm - CassetteEdgeMm - 0.75, 1.5, "B", TrackDirection.Backward),
            ],
            CassetteSource
        );

    public static TrackFormat CassetteStereo { get; } =
        new(
            "cassette, stereo",
            CassetteMm,
            [
                Cassette(1, 0, "A", TrackDirection.Forward),
                Cassette(2, CassettePitchMm, "A", TrackDirection.Forward),
                Cassette(3, CassettePitchMm + CassetteSidePitchMm, "B", TrackDirection.Backward),
                Cassette(4, 2 * CassettePitchMm + CassetteSidePitchMm, "B", TrackDirection.Backward),
            ],
            CassetteSource
        );

    /// <summary>The four positions of the stereo cassette, all in one direction.</summary>
    public static TrackFormat CassetteFourTrack { get; } =
        new(
            "cassette, four-track recorder",
            CassetteMm,
            [.. CassetteStereo.Tracks.Select(t => t with { Side = "A", Direction = TrackDirection.Forward })],
            "positions of the stereo cassette, one direction (secondary source); widths of 0.6 mm from memory"
        );

    public static TrackFormat FullTrack { get; } =
        new(
            "quarter-inch, full-track mono",
            QuarterInchMm,
            [new(1, 3.15, QuarterInchMm, "A", TrackDirection.Forward)],
            "IEC 60094; R. Hess"
        );

    /// <summary>Two tracks of 2.75 mm with 0.75 mm between them, both forwards (DIN "stereo").</summary>
    public static TrackFormat HalfTrackStereoDin { get; } = TwoTrack("quarter-inch, half-track stereo (DIN)", 2.75, 0.75);

    /// <summary>Two tracks of 2.1 mm with 2 mm between them, both forwards (NAB, 82 mil).</summary>
    public static TrackFormat HalfTrackStereoNab { get; } = TwoTrack("quarter-inch, two-track (NAB)", 2.1, 2);

    /// <summary>One track each way, turned over at the end. The width of 2.3 mm is from memory (IEC home half-track 2.0 to 2.3).</summary>
    public static TrackFormat HalfTrackMono { get; } =
        new(
            "quarter-inch, half-track mono",
            QuarterInchMm,
            [new(1, 1.175, 2.3, "A", TrackDirection.Forward), new(2, QuarterInchMm - 1.175, 2.3, "B", TrackDirection.Backward)],
            "width from memory"
        );

    /// <summary>Four tracks of 1 mm, interleaved: side A is 1 and 3, side B is 4 and 2. Guards of 0.75 mm follow by arithmetic.</summary>
    public static TrackFormat QuarterTrackStereo { get; } =
        new(
            "quarter-inch, quarter-track stereo",
            QuarterInchMm,
            [
                Quarter(1, "A", TrackDirection.Forward),
                Quarter(2, "B", TrackDirection.Backward),
                Quarter(3, "A", TrackDirection.Forward),
                Quarter(4, "B", TrackDirection.Backward),
            ],
            "R. Hess (width, interleave); guards by arithmetic"
        );

    public static IReadOnlyList<TrackFormat> All { get; } =
    [CassetteMono, CassetteStereo, CassetteFourTrack, FullTrack, HalfTrackStereoDin, HalfTrackStereoNab, HalfTrackMono, QuarterTrackStereo];

    private static TapeTrack Cassette(int number, double offsetMm, string side, TrackDirection direction) =>
        new(number, CassetteEdgeMm + 0.3 + offsetMm, 0.6, side, direction);

    private static TapeTrack Quarter(int number, string side, TrackDirection direction) =>
        new(number, 0.025 + 0.5 + (number - 1) * 1.75, 1, side, direction);

    private static TrackFormat TwoTrack(string name, double widthMm, double guardMm)
    {
        var offset = (widthMm + guardMm) / 2;
        return new(
            name,
            QuarterInchMm,
            [
                new(1, QuarterInchMm / 2 - offset, widthMm, "A", TrackDirection.Forward),
                new(2, QuarterInchMm / 2 + offset, widthMm, "A", TrackDirection.Forward),
            ],
            "MRL and R. Hess on two-track heads"
        );
    }
}
