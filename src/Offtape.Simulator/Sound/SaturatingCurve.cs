namespace Offtape.Simulator;

/// <summary>
/// A shifted hyperbolic tangent, o·(tanh(d·x + b) − tanh b): odd harmonics by the bend, even ones by the shift b. Without memory.
/// </summary>
internal readonly struct SaturatingCurve : ITapeCurve
{
    private readonly double _drive;
    private readonly double _shift;
    private readonly double _offset;
    private readonly double _gain;

    private SaturatingCurve(double drive, double shift, double gain) =>
        (_drive, _shift, _offset, _gain) = (drive, shift, Math.Tanh(shift), gain);

    public double Next(double input) => _gain * (Math.Tanh(_drive * input + _shift) - _offset);

    /// <summary>The curve of a sound model; operating level (amplitude 1) comes out at operating level.</summary>
    internal static SaturatingCurve Of(SoundModel model)
    {
        var (drive, gain) = CurveFit.Solve(model.MaximumOutputLevelDb, (d, g) => new SaturatingCurve(d, 0, g));
        // Second harmonic of a small bend: ½·amplitude·drive·tanh b of the fundamental.
        var shift = Math.Atanh(Math.Clamp(2 * model.SecondHarmonicPercent / 100 / drive, -0.9, 0.9));
        var (fundamental, _) = CurveFit.Harmonics(new SaturatingCurve(drive, shift, 1), 1);
        return new SaturatingCurve(drive, shift, shift == 0 ? gain : 1 / fundamental);
    }
}
