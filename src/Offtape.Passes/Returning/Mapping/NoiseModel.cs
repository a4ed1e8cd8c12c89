namespace Offtape.Passes.Mapping;

/// <summary>How much a bin may differ from what the model says, as a variance: hiss, a share of the sound itself, and its distortion.</summary>
internal sealed class NoiseModel
{
    // Machines turn the phase of their lowest notes; until the response is known that is noise: (27 Hz / f)² of the power.
    private const double UnknownPhaseHz = 27;
    private const double MostUnknown = 0.3;
    private const double UsualError = 3e-3;

    // Before the tape's curve is known: a third of the cube (a third harmonic of 8 % at full level), little of the square.
    private const double UnknownCube = 0.33;
    private const double UnknownSquare = 0.02;
    private const double CurveDoubt = 0.15;

    /// <param name="hissDensity">Power per unit of window energy, by bin of the longest transform.</param>
    /// <param name="sweep">Whose bins these are.</param>
    /// <param name="before">What was learned with other windows; null at first.</param>
    internal NoiseModel(float[] hissDensity, FrameSweep sweep, NoiseModel? before)
    {
        var bins = sweep.BinCount;
        (HissPower, Error) = (new float[bins], new float[bins]);
        var ratio = (hissDensity.Length - 1) / (bins - 1);
        for (var k = 0; k < bins; k++)
        {
            var (from, to) = (Math.Max(0, k * ratio - ratio / 2), Math.Min(hissDensity.Length - 1, k * ratio + ratio / 2));
            double sum = 0;
            for (var j = from; j <= to; j++)
                sum += hissDensity[j];
            HissPower[k] = (float)(sum / (to - from + 1) * sweep.WindowEnergy);
            Error[k] = before is null ? (float)UsualError : before.Error[k * (before.Error.Length - 1) / (bins - 1)];
        }
        if (before is not null)
            (SquareShare, CubeShare) = (before.SquareShare, before.CubeShare);
    }

    internal float[] HissPower { get; }

    /// <summary>Share of the sound's own power, by bin.</summary>
    internal float[] Error { get; }

    /// <summary>Of the square's power.</summary>
    internal float SquareShare { get; private set; } = (float)(UnknownSquare * UnknownSquare);

    /// <summary>Of the cube's power.</summary>
    internal float CubeShare { get; private set; } = (float)(UnknownCube * UnknownCube);

    /// <summary>Raises the error where the phase of low notes is not known yet.</summary>
    internal void DoubtLowPhase(double binHz)
    {
        for (var k = 0; k < Error.Length; k++)
        {
            var ratio = UnknownPhaseHz / Math.Max(k * binHz, 10);
            Error[k] = Math.Max(Error[k], (float)Math.Min(MostUnknown, ratio * ratio));
        }
    }

    internal void Know(TapeCurve curve)
    {
        var (square, cube) = (CurveDoubt * curve.Square, CurveDoubt * curve.Cube);
        (SquareShare, CubeShare) = ((float)(square * square + 1e-6), (float)(cube * cube));
    }
}
