namespace Offtape.Studio;

/// <summary>Tracks beside each other that are free together.</summary>
/// <param name="Tracks">As the format numbers them; empty: all of the side.</param>
/// <param name="Count">How many they are, of which a sound takes as many as it has channels; null: every sound takes all of them.</param>
internal sealed record TrackLane(IReadOnlyList<int> Tracks, int? Count);

/// <summary>Ways to divide a side of several tracks into lanes, each way for the whole length of the side.</summary>
internal static class TrackLanes
{
    /// <summary>Every way to cut a row of tracks into lanes of the given widths, single tracks first.</summary>
    public static IReadOnlyList<IReadOnlyList<TrackLane>> Of(IReadOnlyList<int> tracks, IReadOnlyList<int> widths) =>
        tracks.Count == 0
            ?
            [
                [],
            ]
            :
            [
                .. widths
                    .Where(w => w <= tracks.Count)
                    .SelectMany(w =>
                        Of([.. tracks.Skip(w)], widths)
                            .Select(rest => (IReadOnlyList<TrackLane>)[new TrackLane([.. tracks.Take(w)], w), .. rest])
                    ),
            ];

    /// <summary>Every choice of one way for each side, as far as they are not too many.</summary>
    /// <returns>The choices, and whether they are all there are.</returns>
    public static (IReadOnlyList<IReadOnlyList<IReadOnlyList<TrackLane>>> Ways, bool AreAll) Choices(
        IReadOnlyList<IReadOnlyList<IReadOnlyList<TrackLane>>> ofSides,
        int most
    )
    {
        List<IReadOnlyList<IReadOnlyList<TrackLane>>> choices =
        [
            [],
        ];
        var areAll = true;
        foreach (var ways in ofSides)
        {
            // From where they would be too many, a side is divided as the first way has it, or as the last.
            var own = choices.Count * ways.Count <= most ? ways : [ways[0], ways[^1]];
            own = choices.Count * own.Count <= most ? own : [ways[0]];
            areAll &= own.Count == ways.Count;
            choices = [.. choices.SelectMany(c => own.Select(w => (IReadOnlyList<IReadOnlyList<TrackLane>>)[.. c, w]))];
        }
        return (choices, areAll);
    }
}
