using Offtape.Base;

namespace Offtape.Passes;

/// <summary>Whether a send fits one side, and how to split it when it does not.</summary>
internal static class SidePlanner
{
    private const double Margins = SendTiming.MarginStartSeconds + SendTiming.MarginEndSeconds;

    /// <param name="names">File names of the sources, in order.</param>
    /// <param name="itemFrameCounts">Their lengths in the send.</param>
    /// <param name="request">Checked by <see cref="RequestCheck"/>.</param>
    /// <param name="sampleRateHz">Rate of the send.</param>
    internal static SidePlan Plan(IReadOnlyList<string> names, IReadOnlyList<long> itemFrameCounts, SendRequest request, int sampleRateHz)
    {
        double Needed(IEnumerable<long> items) => TimePlan.Make([.. items], request, sampleRateHz).Seconds(sampleRateHz) + Margins;

        var needed = Needed(itemFrameCounts);
        var sideSeconds = request.SideMinutes * 60;
        var fits = sideSeconds is not { } side || needed <= side;
        string[] tooLong = fits ? [] : [.. names.Where((_, i) => Needed([itemFrameCounts[i]]) > sideSeconds)];
        return new SidePlan(
            sideSeconds,
            needed,
            SendTiming.MarginStartSeconds,
            SendTiming.MarginEndSeconds,
            fits,
            request.SpeedCmPerSecond is { } speed ? needed * new TapeSpeed(speed).MetresPerSecond : null,
            fits ? [new TapeSide(1, names, needed)]
                : tooLong.Length > 0 || request.Layout == SendLayout.Parallel ? []
                : Split(sideSeconds!.Value),
            tooLong,
            TapeChoice.Shortest(needed, request.SpeedCmPerSecond)
        );

        // In order, each side as full as it goes: no split that keeps the order needs fewer sides.
        IReadOnlyList<TapeSide> Split(double side)
        {
            var sides = new List<TapeSide>();
            for (var from = 0; from < names.Count; )
            {
                var count = 1;
                while (from + count < names.Count && Needed(itemFrameCounts.Skip(from).Take(count + 1)) <= side)
                    count++;
                sides.Add(new TapeSide(sides.Count + 1, [.. names.Skip(from).Take(count)], Needed(itemFrameCounts.Skip(from).Take(count))));
                from += count;
            }
            return sides;
        }
    }
}
