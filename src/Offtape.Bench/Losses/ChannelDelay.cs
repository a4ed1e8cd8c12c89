namespace Offtape.Bench;

/// <summary>How late the second channel is against the first, from the phases of a sweep that both carried: what tells azimuth from a gap.</summary>
internal static class ChannelDelay
{
    // Where half a period is longer than any delay between heads: first a rough figure, by which whole cycles are then told.
    private const double RoughFromHz = 300;
    private const double RoughToHz = 1000;
    private const double ToHz = 8000;

    /// <returns>Seconds, positive when the second channel is late, and a standard deviation; null where there are no two channels to compare.</returns>
    internal static (double Seconds, double Sigma)? Of(SweepAnalysis sweeps)
    {
        var rough = Middle(sweeps, RoughFromHz, RoughToHz, 0);
        return rough is { } near ? Middle(sweeps, RoughToHz, ToHz, near.Seconds) : null;
    }

    private static (double Seconds, double Sigma)? Middle(SweepAnalysis sweeps, double fromHz, double toHz, double near)
    {
        var differences = new List<double>();
        foreach (var first in sweeps.Readings.Where(r => r.Channel == 0))
        {
            if (sweeps.Readings.FirstOrDefault(r => r.Channel == 1 && r.Part.Name == first.Part.Name) is not { } second)
                continue;
            for (var k = 0; k < first.Hz.Length; k++)
            {
                if (first.Hz[k] < fromHz || first.Hz[k] > toHz || !first.IsFollowed[k] || !second.IsFollowed[k])
                    continue;
                // Each channel's phase may be a whole number of cycles off.
                var difference = second.LatenessSeconds[k] - first.LatenessSeconds[k] - near;
                differences.Add(near + difference - Math.Round(difference * first.Hz[k]) / first.Hz[k]);
            }
        }
        if (differences.Count < 10)
            return null;
        differences.Sort();
        // Width of the middle half: robust where a cycle was lost.
        var sigma = (differences[3 * differences.Count / 4] - differences[differences.Count / 4]) / 1.35;
        return (differences[differences.Count / 2], sigma);
    }
}
