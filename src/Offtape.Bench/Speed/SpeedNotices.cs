using Offtape.Base;

namespace Offtape.Bench;

/// <summary>What the reader of a report should know of how speed was read.</summary>
internal static class SpeedNotices
{
    internal static IReadOnlyList<Notice> Of(ToneMeasurement m, HowTaken how, IReadOnlyList<PartCandidate> parts)
    {
        var notices = new List<Notice>();
        if (m.MeanSeconds < ToneMeter.MeanOverSeconds - 0.5)
            notices.Add(
                new(
                    "short-tone",
                    $"The tone lasts {Words.Duration(m.Curve.LengthSeconds)}: mean speed is read over {Words.Duration(m.MeanSeconds)} and not over "
                        + "the 30 s of DIN 45 500."
                )
            );
        if (m.Curve.GapSeconds > 0)
            notices.Add(
                new(
                    "tone-gaps",
                    $"{Words.Number(1000 * m.Curve.GapSeconds, 0)} ms of the tone are dropouts or clicks; they are bridged and not counted."
                )
            );
        if (m.Lines.Any(l => l.IsSound))
            notices.Add(
                new(
                    "sound-beside-tone",
                    $"Something else sounds beside the tone, {Words.List([.. m.Lines.Where(l => l.IsSound).Select(l => SpeedReadings.Frequency(l.Line.FrequencyHz) + " Hz")])} "
                        + "away from it: hum, or another tone. It is not speed, and the unweighted figures hold it."
                )
            );
        if (how == HowTaken.Rewound)
            notices.Add(
                new(
                    "two-runs",
                    "Wobble is that of recording and replay together, anything from nothing to twice one run's. Read it at the start, the middle and the "
                        + "end of a tape and take the mean."
                )
            );
        if (parts.Take(3).Any(p => p.Part == TurningPart.Hub))
            notices.Add(
                new(
                    "hub-moves",
                    "A hub turns faster the less tape is on it, and one run does not tell it from another part of that speed: read the start and the end of "
                        + "a tape together, and where its line moves, it is the hub. Keep fingers and sleeves away from turning reels and from the capstan."
                )
            );
        return notices;
    }
}
