using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>The map of a section, with what was learned on the way.</summary>
internal sealed class SectionMap
{
    internal required MapGrid Grid { get; init; }

    /// <summary>Of the machine's response.</summary>
    internal required ResponseEvidence Evidence { get; init; }

    internal required TapeCurve Curve { get; init; }

    /// <summary>How much of what is known of the map comes from above the notes whose phase a machine turns, 0 to 1.</summary>
    internal required double TrebleShare { get; init; }

    /// <summary>First and last second of the stretch that the section is a part of.</summary>
    internal required double FirstHeard { get; init; }

    internal required double LastHeard { get; init; }

    internal double FirstSeconds => Grid.Seconds[0];

    internal double LastSeconds => Grid.Seconds[^1];

    internal EvenSpline Spline => _spline ??= Grid.MapSpline();

    private EvenSpline? _spline;

    internal (double Capture, double Sigma) At(double seconds)
    {
        var position = (seconds - FirstSeconds) / Grid.StepSeconds;
        var sigma = Grid.Solver.Sigma;
        var i = (int)Math.Clamp(position, 0, sigma.Length - 2);
        var f = Math.Clamp(position - i, 0, 1);
        var stated = sigma[i] + f * (sigma[i + 1] - sigma[i]);
        return (Spline.At(position), Math.Sqrt(stated * stated + Grid.BlurVariance));
    }
}
