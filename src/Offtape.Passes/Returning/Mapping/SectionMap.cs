namespace Offtape.Passes.Mapping;

/// <summary>The map of a section: capture seconds at each frame of the source, with what was learned on the way.</summary>
internal sealed class SectionMap
{
    /// <summary>Tracker seconds of the source, evenly spaced.</summary>
    internal required double[] SourceSeconds { get; init; }

    internal double StepSeconds => SourceSeconds[1] - SourceSeconds[0];

    internal required double[] CaptureSeconds { get; init; }

    internal required double[] SigmaSeconds { get; init; }

    internal required MachineResponse Response { get; init; }

    internal required TapeCurve Curve { get; init; }

    /// <summary>Process noise, and how much less the frames knew than they said.</summary>
    internal required double ProcessNoise { get; init; }

    internal required double Scale { get; init; }
}
