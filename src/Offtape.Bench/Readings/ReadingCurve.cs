namespace Offtape.Bench;

/// <summary>A figure against another: level against frequency, distortion against level, speed against time.</summary>
public sealed record ReadingCurve
{
    /// <summary>What is read, in camelCase: <c>response</c>, <c>thirdHarmonic</c>, <c>speed</c>.</summary>
    public required string Quantity { get; init; }

    /// <summary>Channel of the capture, from 1; null for what belongs to all or to a pair.</summary>
    public int? Channel { get; init; }

    /// <summary>What it was read at; empty where there is one such curve.</summary>
    public string Condition { get; init; } = "";

    /// <summary>Unit of <see cref="X"/>: <c>Hz</c>, <c>s</c>, <c>dB</c>.</summary>
    public required string XUnit { get; init; }

    public required string YUnit { get; init; }

    /// <summary>Rising.</summary>
    public required double[] X { get; init; }

    /// <summary>One for each of <see cref="X"/>; not a number where it cannot be had.</summary>
    public required double[] Y { get; init; }

    /// <summary>Expanded uncertainty of each (coverage factor 2), in the unit of <see cref="Y"/>; empty where none is stated.</summary>
    public double[] Uncertainty { get; init; } = [];

    public required string Method { get; init; }

    public string Standard { get; init; } = "";
}
