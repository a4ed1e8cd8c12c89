using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>The clock through uneven places that are each off by a little.</summary>
public sealed class ClockCurveTests
{
    [Fact]
    public void Places_that_are_off_by_a_little_do_not_throw_it_about_between_them()
    {
        // Edges a second and five apart, each off by up to a millisecond: nowhere is the curve further off than its worst place,
        // but for the little that even steps cut off its corners.
        var dice = new Random(4);
        var (send, capture, at) = (new List<double>(), new List<double>(), 0.0);
        for (var i = 0; i < 60; i++)
        {
            send.Add(at);
            capture.Add(3 + 1.002 * at + 1e-3 * (2 * dice.NextDouble() - 1));
            at += i % 2 == 0 ? 0.6 : 5;
        }
        var clock = ClockCurve.Through(send, capture);
        for (var t = 0.0; t < send[^1]; t += 0.03)
            Measured.Within(3 + 1.002 * t, clock.CaptureAt(t), 1.2e-3, $"at {t} s");
    }

    [Fact]
    public void A_straight_line_stays_straight()
    {
        var clock = ClockCurve.Through([0, 1, 7, 7.5], [2, 3.01, 9.07, 9.575]);
        foreach (var t in new[] { 0.0, 0.33, 4.21, 7.4 })
            Measured.Within(2 + 1.01 * t, clock.CaptureAt(t), 1e-12);
    }
}
