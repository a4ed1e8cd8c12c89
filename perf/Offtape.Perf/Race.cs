using System.Diagnostics;

namespace Offtape.Perf;

/// <summary>Times two or more bodies against each other on a machine that others use too.</summary>
internal static class Race
{
    /// <summary>
    /// Microseconds of one call of each body: the bodies take turns for many rounds, and the best round of each counts, since what others
    /// do to the machine can only add.
    /// </summary>
    public static double[] BestMicroseconds(double seconds, params Action[] bodies)
    {
        var best = new double[bodies.Length];
        var calls = new int[bodies.Length];
        for (var i = 0; i < bodies.Length; i++)
        {
            for (var warm = 0; warm < 3; warm++)
                bodies[i]();
            best[i] = Time(bodies[i], 10);
            // A round of about two milliseconds: long against the clock, short against a slice of the scheduler.
            calls[i] = Math.Max(1, (int)(2000 / Math.Max(best[i], 0.01)));
        }
        var watch = Stopwatch.StartNew();
        while (watch.Elapsed.TotalSeconds < seconds)
        {
            for (var i = 0; i < bodies.Length; i++)
                best[i] = Math.Min(best[i], Time(bodies[i], calls[i]));
        }
        return best;
    }

    private static double Time(Action body, int calls)
    {
        var start = Stopwatch.GetTimestamp();
        for (var i = 0; i < calls; i++)
            body();
        // From raw ticks: a TimeSpan would round to a tenth of a microsecond.
        return (Stopwatch.GetTimestamp() - start) * 1e6 / Stopwatch.Frequency / calls;
    }
}
