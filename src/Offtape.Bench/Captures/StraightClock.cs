using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>
/// A capture's clock with straight lines between its knots. Slates are knots close together, with long stretches between them: a smooth curve
/// carries the small errors of a slate's own knots far into the stretch as a wrong speed (3 % was seen), a straight line does not.
/// </summary>
internal sealed class StraightClock(TimeMap clock)
{
    private readonly double[] _send = clock.SourceSeconds;
    private readonly double[] _capture = clock.CaptureSeconds;

    // Knots nearer than this to each other tell no speed.
    private const double LeastSeconds = 1;

    internal double CaptureAt(double sendSeconds)
    {
        var k = Segment(sendSeconds);
        return _capture[k] + (sendSeconds - _send[k]) * Slope(k);
    }

    /// <summary>Capture seconds for each second of the send.</summary>
    internal double RateAt(double sendSeconds) => Slope(Segment(sendSeconds));

    private int Segment(double sendSeconds)
    {
        var found = Array.BinarySearch(_send, sendSeconds);
        return Math.Clamp(found >= 0 ? found : ~found - 1, 0, _send.Length - 2);
    }

    private double Slope(int k) =>
        _send[k + 1] - _send[k] < LeastSeconds && (k == 0 || k == _send.Length - 2)
            ? clock.MeanRate
            : (_capture[k + 1] - _capture[k]) / (_send[k + 1] - _send[k]);
}
