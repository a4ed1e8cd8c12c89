using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Following;

/// <summary>Reads windows of a capture along a path: frame n of the window is what is heard at the source time of frame n.</summary>
internal sealed class PathReader(double workingRateHz)
{
    private double[] _positions = [];
    private float[] _raw = new float[2048];

    /// <param name="capture">What is read.</param>
    /// <param name="curve">Capture over source, tracker seconds.</param>
    /// <param name="centreSeconds">Source time of the window's middle.</param>
    /// <param name="window">Receives an even number of frames.</param>
    internal void Read(WorkingSignal capture, PathCurve curve, double centreSeconds, Span<float> window)
    {
        var half = window.Length / 2;
        if (_positions.Length != window.Length)
            _positions = new double[window.Length];
        // Over 40 ms a parabola through three points of the path follows it to well under a microsecond.
        var before = curve.CaptureAt(centreSeconds - half / workingRateHz) * workingRateHz;
        var middle = curve.CaptureAt(centreSeconds) * workingRateHz;
        var after = curve.CaptureAt(centreSeconds + half / workingRateHz) * workingRateHz;
        var (bend, slope) = ((before - 2 * middle + after) / 2, (after - before) / 2);
        for (var i = 0; i < window.Length; i++)
        {
            var f = (i - half) / (double)half;
            _positions[i] = middle + f * slope + f * f * bend;
        }
        var bandwidth = Retimer.BandwidthForStep(Math.Max(Math.Abs(slope) / half * 1.02, 1e-3));
        var margin = Retimer.HalfWidthFramesForBandwidth(bandwidth) + 2;
        var from = (long)Math.Floor(Math.Min(before, after)) - margin;
        var count = (int)(Math.Ceiling(Math.Max(before, after)) - from) + margin + 1;
        if (_raw.Length < count)
            _raw = new float[count];
        var raw = _raw.AsSpan(0, count);
        capture.Read(from, raw);
        Retimer.Render(raw, from, _positions, bandwidth, window);
    }
}
