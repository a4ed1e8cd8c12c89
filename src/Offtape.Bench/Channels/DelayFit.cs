using System.Numerics;

namespace Offtape.Bench;

/// <summary>What one window of a sweep says of the delay between two channels.</summary>
/// <param name="FrequencyHz">In the capture.</param>
/// <param name="Ratio">The second channel as a multiple of the first.</param>
/// <param name="PhaseVariance">Of its phase, by noise; square radians.</param>
/// <param name="Run">Which sweep it is of.</param>
internal sealed record DelayPoint(double FrequencyHz, Complex Ratio, double PhaseVariance, int Run)
{
    internal double AngularFrequency => 2 * Math.PI * FrequencyHz;
}

/// <summary>
/// One delay through the phases of many frequencies: φ = −2πf·τ, and half a turn more where one channel is upside down. Found first by trying all
/// delays, so that no phase need be counted on from its neighbour, then as the weighted mean of what each window says.
/// </summary>
/// <param name="DelaySeconds">How late the second channel is.</param>
/// <param name="Polarity">1, or −1 where one channel is upside down.</param>
/// <param name="Agreement">The part of the windows' weight that this one delay explains, 0 to 1.</param>
internal sealed record DelayFit(double DelaySeconds, int Polarity, double Agreement)
{
    private const double FarthestSeconds = 0.001;

    // In the search no window counts more than one of this phase variance: wander may have moved any of them.
    private const double LeastVariance = 0.05;
    private const int Rounds = 4;

    /// <param name="points">Windows of all sweeps.</param>
    /// <param name="wanderSeconds">Root mean square of the delay's wander, which every window has on top of its noise.</param>
    internal static DelayFit? Of(IReadOnlyList<DelayPoint> points, double wanderSeconds)
    {
        if (points.Count < 3)
            return null;
        var step = 1 / (16 * points.Max(p => p.FrequencyHz));
        var best = (Value: 0.0, Delay: 0.0, Polarity: 1);
        for (var delay = -FarthestSeconds; delay <= FarthestSeconds; delay += step)
        {
            var value = 0.0;
            foreach (var point in points)
                value += Math.Cos(point.Ratio.Phase + point.AngularFrequency * delay) / (point.PhaseVariance + LeastVariance);
            if (Math.Abs(value) > best.Value)
                best = (Math.Abs(value), delay, Math.Sign(value));
        }
        var mean = best.Delay;
        for (var round = 0; round < Rounds; round++)
        {
            var (sum, weight) = (0.0, 0.0);
            foreach (var point in points)
            {
                var w = 1 / Variance(point, wanderSeconds);
                sum += w * (mean - Residual(point, mean, best.Polarity) / point.AngularFrequency);
                weight += w;
            }
            mean = sum / weight;
        }
        return new DelayFit(mean, best.Polarity, best.Value / points.Sum(p => 1 / (p.PhaseVariance + LeastVariance)));
    }

    /// <summary>What one window says.</summary>
    internal double DelayAt(DelayPoint point) => DelaySeconds - Residual(point, DelaySeconds, Polarity) / point.AngularFrequency;

    /// <summary>Of what one window says, noise and wander together.</summary>
    internal static double Variance(DelayPoint point, double wanderSeconds) =>
        point.PhaseVariance / (point.AngularFrequency * point.AngularFrequency) + wanderSeconds * wanderSeconds;

    private static double Residual(DelayPoint point, double delaySeconds, int polarity) =>
        Math.IEEERemainder(point.Ratio.Phase + point.AngularFrequency * delaySeconds + (polarity < 0 ? Math.PI : 0), 2 * Math.PI);
}
