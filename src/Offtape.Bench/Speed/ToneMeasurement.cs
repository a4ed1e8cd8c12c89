using Offtape.Signal;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>A line of the speed curve, and whether it is speed at all.</summary>
/// <param name="Line">Where and how strong, as heard.</param>
/// <param name="SigmaPercent">Standard deviation of its peak by noise.</param>
/// <param name="IsSound">
/// The level moves with it as one added tone would move it: hum or another tone beside the test tone, and no wobble.
/// </param>
internal readonly record struct HeardLine(SpeedLine Line, double SigmaPercent, bool IsSound);

/// <summary>All that a recorded tone says of speed, before it is asked how the recording came about.</summary>
internal sealed record ToneMeasurement
{
    /// <summary>Where the tone stands in what was given, in frames.</summary>
    public required SteadyTone Tone { get; init; }

    public required ToneCurve Curve { get; init; }

    /// <summary>Speed against its own mean in per cent, one for each value of the curve.</summary>
    public required double[] DeviationPercent { get; init; }

    /// <summary>Seconds of what was given at which the curve begins.</summary>
    public required double StartSeconds { get; init; }

    /// <summary>Mean over <see cref="MeanSeconds"/>.</summary>
    public required double MeanHz { get; init; }

    /// <summary>30, or the whole tone where it is shorter.</summary>
    public required double MeanSeconds { get; init; }

    /// <summary>Where the stretch of the mean begins, in seconds of what was given.</summary>
    public required double MeanFromSeconds { get; init; }

    public required double MeanSigmaPercent { get; init; }

    /// <summary>Rise of the straight line through the curve from its beginning to its end.</summary>
    public required double DriftPercent { get; init; }

    public required double DriftSigmaPercent { get; init; }

    /// <summary>As read, noise and all.</summary>
    public required WobbleFigures Raw { get; init; }

    /// <summary>Without what noise adds, in the order of <see cref="WobbleFigures.ToArray"/>.</summary>
    public required double[] Figures { get; init; }

    /// <summary>Standard deviations of <see cref="Figures"/>.</summary>
    public required double[] FigureSigmas { get; init; }

    /// <summary>What noise alone would read, in the same order.</summary>
    public required double[] Floor { get; init; }

    public required WobbleSpectrum Spectrum { get; init; }

    /// <summary>Strongest first.</summary>
    public required IReadOnlyList<HeardLine> Lines { get; init; }

    /// <summary>Density of the noise of speed at a frequency, in per cent² per hertz.</summary>
    public double NoiseDensityAt(double frequencyHz) => Curve.PhaseNoiseDensity * Math.Pow(frequencyHz / MeanHz * 100, 2);
}
