namespace Offtape.Simulator;

/// <summary>What hands do to the speed of a run: rides of the pitch control, and stops. A factor on speed as a function of time.</summary>
internal sealed class TransportEvents(IReadOnlyList<RidePoint> ride, IReadOnlyList<TapeStop> stops)
{
    internal bool IsEmpty => ride.Count == 0 && stops.Count == 0;

    /// <summary>How many seconds a run may last longer than without these, when it would last <paramref name="seconds"/>.</summary>
    internal double ExtraSeconds(double seconds)
    {
        var slowest = ride.Count == 0 ? 1 : Math.Min(1, ride.Min(p => p.SpeedRatio));
        return seconds * (1 / slowest - 1) + stops.Sum(s => s.HoldSeconds + s.SlowDownSeconds + s.SpeedUpSeconds);
    }

    internal double FactorAt(double seconds)
    {
        var factor = RideAt(seconds);
        foreach (var stop in stops)
            factor *= StopAt(stop, seconds - stop.AtSeconds);
        return factor;
    }

    private double RideAt(double seconds)
    {
        if (ride.Count == 0)
            return 1;
        if (seconds <= ride[0].Seconds)
            return ride[0].SpeedRatio;
        for (var i = 1; i < ride.Count; i++)
        {
            if (seconds < ride[i].Seconds)
            {
                var s = (seconds - ride[i - 1].Seconds) / (ride[i].Seconds - ride[i - 1].Seconds);
                return ride[i - 1].SpeedRatio + Smooth(s) * (ride[i].SpeedRatio - ride[i - 1].SpeedRatio);
            }
        }
        return ride[^1].SpeedRatio;
    }

    private static double StopAt(TapeStop stop, double since)
    {
        if (since <= 0)
            return 1;
        if (since < stop.SlowDownSeconds)
            return 1 - Smooth(since / stop.SlowDownSeconds);
        since -= stop.SlowDownSeconds + stop.HoldSeconds;
        if (since <= 0)
            return 0;
        return since < stop.SpeedUpSeconds ? Smooth(since / stop.SpeedUpSeconds) : 1;
    }

    private static double Smooth(double s) => s * s * (3 - 2 * s);
}
