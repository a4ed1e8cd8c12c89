namespace Offtape.Studio;

/// <summary>What of a machine's upkeep is due, by hours and by what its benches show.</summary>
internal static class UpkeepPlan
{
    private enum Worse
    {
        Up,
        Down,
        Either,
    }

    // Which task a change of which reading asks for. Common practice, no source.
    private static readonly (string Quantity, Worse Worse, string Task, string Words)[] _rules =
    [
        ("trebleLimit", Worse.Down, "clean-path", "the treble reaches less far: dirt between tape and head is the usual reason"),
        ("trebleLimit", Worse.Down, "azimuth", "the treble reaches less far: where cleaning does not help, azimuth is next"),
        ("balance", Worse.Either, "clean-path", "one channel has moved against the other"),
        ("dropoutsPerMinute", Worse.Up, "clean-path", "there are more dropouts: clean first, then try another tape"),
        ("erasure", Worse.Either, "clean-path", "erasure has changed: the erase head may be dirty"),
        ("azimuth", Worse.Either, "azimuth", "azimuth has moved"),
        ("interChannelDelay", Worse.Either, "azimuth", "the delay between channels has moved"),
        ("noiseAWeighted", Worse.Up, "demagnetise", "there is more noise"),
        ("signalToNoiseAWeighted", Worse.Down, "demagnetise", "there is more noise against the signal"),
        ("modulationNoise", Worse.Up, "demagnetise", "there is more noise beside a tone"),
        ("weightedTwoSigma", Worse.Up, "rubber", "wow and flutter has grown"),
        ("weightedPeak", Worse.Up, "rubber", "wow and flutter has grown"),
        ("drift", Worse.Up, "rubber", "the speed drifts more"),
        ("speedError", Worse.Either, "speed", "the speed has moved"),
        ("saturationOutputLevel", Worse.Down, "head-wear", "the treble saturates earlier"),
        ("hum", Worse.Up, "hum", "there is more hum"),
    ];

    /// <param name="hours">What the machine has run.</param>
    /// <param name="done">When each task was last done, by its code, in hours run; null hours: not known.</param>
    /// <param name="trends">How its readings went.</param>
    public static IReadOnlyList<UpkeepDue> Of(
        double hours,
        IReadOnlyDictionary<string, (string At, double? Hours)> done,
        IReadOnlyList<BenchTrend> trends
    )
    {
        var list = new List<UpkeepDue>();
        foreach (var task in UpkeepTask.All)
        {
            var last = done.TryGetValue(task.Code, out var found) ? found : ((string At, double? Hours)?)null;
            var since = last is { Hours: { } then } ? hours - then : (double?)null;
            var findings = _rules.Where(r => r.Task == task.Code).SelectMany(r => Found(r, trends, last?.At)).Distinct().ToArray();
            var isByHours = task.EveryHours is { } every && (since ?? hours) >= every;
            list.Add(
                new UpkeepDue
                {
                    Task = task.Code,
                    Words = task.Words,
                    EveryHours = task.EveryHours,
                    LastDone = last?.At[..10],
                    HoursSince = since,
                    Findings = findings,
                    IsDue = isByHours || findings.Length > 0,
                    Cautions = task.Cautions,
                }
            );
        }
        return list;
    }

    private static IEnumerable<string> Found(
        (string Quantity, Worse Worse, string Task, string Words) rule,
        IReadOnlyList<BenchTrend> trends,
        string? doneAt
    ) =>
        trends
            .Where(t => t.Quantity == rule.Quantity && t.IsChange)
            .Where(t => rule.Worse == Worse.Either || (t.Change > 0) == (rule.Worse == Worse.Up))
            // What was found before the task was last done has been seen to.
            .Where(t => doneAt is null || string.CompareOrdinal(t.Points[^1].Day, doneAt[..10]) > 0)
            .Select(_ => rule.Words);
}
