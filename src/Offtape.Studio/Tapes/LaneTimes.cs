namespace Offtape.Studio;

/// <summary>When each sound of a stretch begins. Sounds that take more tracks stand first, so that those that take fewer can lie beside each other behind them.</summary>
/// <param name="Starts">In seconds from the beginning of the stretch, by the sound's number.</param>
/// <param name="End">Where the last of them ends.</param>
internal sealed record LaneTimes(IReadOnlyDictionary<int, double> Starts, double End)
{
    public static LaneTimes Of(
        IReadOnlyList<PackedSound> sounds,
        PackingPlace place,
        int number,
        IReadOnlyList<int?> placeOf,
        IReadOnlyList<int> trackOf,
        double gapSeconds
    )
    {
        var ends = new double?[place.Lanes];
        var starts = new Dictionary<int, double>();
        foreach (
            var i in Enumerable.Range(0, sounds.Count).Where(i => placeOf[i] == number).OrderByDescending(i => place.LanesOf(sounds[i]))
        )
        {
            var (first, count) = (trackOf[i], place.LanesOf(sounds[i]));
            var start = 0.0;
            for (var t = first; t < first + count; t++)
                start = Math.Max(start, ends[t] + gapSeconds ?? 0);
            for (var t = first; t < first + count; t++)
                ends[t] = start + sounds[i].Seconds;
            starts[i] = start;
        }
        return new LaneTimes(starts, ends.Max() ?? 0);
    }
}
