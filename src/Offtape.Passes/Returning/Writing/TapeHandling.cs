using Offtape.Passes.Following;
using Offtape.Signal;

namespace Offtape.Passes.Writing;

/// <summary>A hand on the pitch control for a while.</summary>
/// <param name="FromSeconds">Tracker seconds of the source.</param>
/// <param name="ToSeconds">Tracker seconds of the source.</param>
/// <param name="PeakRatio">Greatest speed against the rest of the take, furthest from 1.</param>
/// <param name="GainedSeconds">How much later in the capture the sound is after it than without it.</param>
internal readonly record struct Ride(double FromSeconds, double ToSeconds, double PeakRatio, double GainedSeconds);

/// <summary>
/// What a hand did to the tape within a take, told apart from what the machine does by itself: rides (the speed, smoothed over half a second,
/// leaves its middle by more than any machine worth its tape does) and stops.
/// </summary>
internal sealed class TapeHandling
{
    // Common practice, no source: a worn deck wanders by half a per cent, a hand moves by two or more.
    private const double RidePeak = 0.012;
    private const double RideEdge = 0.003;
    private const double SmoothSeconds = 0.25;
    private const double JoinSeconds = 1.5;
    private const double StepSeconds = 0.01;

    // A third of its speed (judged, no source).
    private const double CrawlRate = 3;
    private const double EdgeSeconds = 0.005;

    private TapeHandling(IReadOnlyList<Ride> rides, IReadOnlyList<TapeStand> stands, double middleRate) =>
        (Rides, Stands, MiddleRate) = (rides, stands, middleRate);

    internal IReadOnlyList<Ride> Rides { get; }

    internal IReadOnlyList<TapeStand> Stands { get; }

    /// <summary>Capture seconds per source second where no hand was on it.</summary>
    internal double MiddleRate { get; }

    internal static TapeHandling Of(FollowedTake take)
    {
        var (first, last) = (take.Curve.FirstSource, take.Curve.LastSource);
        var count = (int)((last - first) / StepSeconds);
        if (count < 2 * SmoothSeconds / StepSeconds)
            return new TapeHandling([], take.Stands, 1 / take.RelativeSpeed);
        var rates = new double[count];
        for (var i = 0; i < count; i++)
        {
            var s = first + i * StepSeconds;
            var (a, b) = (Math.Max(first, s - SmoothSeconds), Math.Min(last, s + SmoothSeconds));
            // A stop is no ride: across it the rate says nothing.
            var isCut = take.Stands.Any(t => b > t.FromSource - SmoothSeconds && a < t.ToSource + SmoothSeconds);
            rates[i] = isCut ? double.NaN : (take.Curve.CaptureAt(b) - take.Curve.CaptureAt(a)) / (b - a);
        }
        var known = rates.Where(double.IsFinite).Order().ToArray();
        if (known.Length == 0)
            return new TapeHandling([], take.Stands, 1 / take.RelativeSpeed);
        var middle = known[known.Length / 2];
        return new TapeHandling(FindRides(take, rates, middle, first), [.. take.Stands.Select(t => Widened(take, t, middle))], middle);
    }

    /// <summary>
    /// Where the tape crawled it is counted as standing: a moment of the source is then seconds of the capture, and reading through them at the
    /// source's pace would be a squeak.
    /// </summary>
    private static TapeStand Widened(FollowedTake take, TapeStand stand, double middleRate)
    {
        var (from, to) = (stand.FromSource, stand.ToSource);
        while (from - EdgeSeconds > take.FirstHeard && Rate(from - EdgeSeconds, from) > CrawlRate * middleRate)
            from -= EdgeSeconds;
        while (to + EdgeSeconds < take.LastHeard && Rate(to, to + EdgeSeconds) > CrawlRate * middleRate)
            to += EdgeSeconds;
        return new TapeStand(from, to, take.Curve.CaptureAt(from), take.Curve.CaptureAt(to));

        double Rate(double a, double b) => (take.Curve.CaptureAt(b) - take.Curve.CaptureAt(a)) / (b - a);
    }

    private static List<Ride> FindRides(FollowedTake take, double[] rates, double middle, double first)
    {
        var rides = new List<Ride>();
        double Departure(int i) => double.IsFinite(rates[i]) ? Math.Abs(rates[i] / middle - 1) : 0;
        for (var i = 0; i < rates.Length; i++)
        {
            if (Departure(i) < RidePeak || !IsKnown(take, first + i * StepSeconds))
                continue;
            var (from, to, peak) = (i, i, i);
            while (from > 0 && Departure(from - 1) > RideEdge)
                from--;
            // Up and down about the middle is one ride: small gaps where it crosses are its own.
            var quiet = 0;
            while (to + 1 < rates.Length && quiet * StepSeconds < JoinSeconds)
            {
                to++;
                quiet = Departure(to) > RideEdge ? 0 : quiet + 1;
                peak = Departure(to) > Departure(peak) ? to : peak;
            }
            to -= quiet;
            var (a, b) = (first + from * StepSeconds, first + to * StepSeconds);
            var gained = take.Curve.CaptureAt(b) - take.Curve.CaptureAt(a) - middle * (b - a);
            rides.Add(new Ride(a, b, middle / rates[peak], gained));
            i = to;
        }
        return rides;
    }

    private static bool IsKnown(FollowedTake take, double seconds) => take.Curve.SigmaAt(seconds) < 5e-4;
}
