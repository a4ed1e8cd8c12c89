using System.Globalization;
using Offtape.Report;

namespace Offtape.Bench;

/// <summary>Upright marks at the strongest lines of speed, for the picture of its spectrum.</summary>
internal static class SpeedMarks
{
    // More would stand in each other's way.
    private const int Most = 4;

    internal static IEnumerable<Series> Of(IReadOnlyList<Reading> readings) =>
        readings
            .Where(r => r is { Quantity: "speedLine", Value: not null })
            .OrderByDescending(r => r.Value)
            .Take(Most)
            .Select(r => new UprightMark(Hertz(r.Condition), r.Condition) { Ink = InkRole.Soft });

    /// <summary>A line's condition is its frequency: <c>6.3 Hz</c>.</summary>
    internal static double Hertz(string condition) => double.Parse(condition.Split(' ')[0], CultureInfo.InvariantCulture);
}
