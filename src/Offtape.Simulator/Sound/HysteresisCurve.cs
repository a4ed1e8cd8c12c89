namespace Offtape.Simulator;

/// <summary>
/// Magnetic hysteresis after D. C. Jiles and D. L. Atherton, J. Magn. Magn. Mater. 61 (1986) 48–60, in this convention:
/// He = H + αM; Man = L(He/a) with L(x) = coth x − 1/x; δ = sign(dH); dM/dH = [(1−c)·A + c·D]/(1 − α·c·D) with D = dMan/dHe and
/// A = (Man − M)/(δk − α(Man − M)), A = 0 where δ(Man − M) ≤ 0. Saturation magnetisation and a are 1.
/// </summary>
/// <remarks>
/// The parameters are invented, not fitted to a published loop: bias leaves a nearly reversible, narrow loop (c = 0.9, k = 0.3), without
/// which quiet sounds would be torn by the loop's corner. Integrated by the midpoint rule from sample to sample.
/// </remarks>
internal struct HysteresisCurve : ITapeCurve
{
    private const double Coupling = 1.6e-3;
    private const double Reversibility = 0.9;
    private const double LoopWidth = 0.3;

    private readonly double _drive;
    private readonly double _gain;
    private double _field;
    private double _magnetisation;

    private HysteresisCurve(double drive, double gain) => (_drive, _gain) = (drive, gain);

    public double Next(double input)
    {
        var field = _drive * input;
        var change = field - _field;
        if (change != 0)
        {
            var direction = Math.Sign(change);
            var half = _magnetisation + 0.5 * change * Slope(_field, _magnetisation, direction);
            _magnetisation += change * Slope(_field + 0.5 * change, half, direction);
            _field = field;
        }
        return _gain * _magnetisation;
    }

    internal static HysteresisCurve Of(SoundModel model)
    {
        var (drive, gain) = CurveFit.Solve(model.MaximumOutputLevelDb, (d, g) => new HysteresisCurve(d, g));
        return new HysteresisCurve(drive, gain);
    }

    private static double Slope(double field, double magnetisation, int direction)
    {
        var effective = field + Coupling * magnetisation;
        var (anhysteretic, slope) = Langevin(effective);
        var gap = anhysteretic - magnetisation;
        var irreversible = direction * gap > 0 ? gap / (direction * LoopWidth - Coupling * gap) : 0;
        return ((1 - Reversibility) * irreversible + Reversibility * slope) / (1 - Coupling * Reversibility * slope);
    }

    // L(x) = coth x − 1/x and its slope; near zero by its series x/3 − x³/45 + 2x⁵/945, where the formula cancels.
    private static (double Value, double Slope) Langevin(double x)
    {
        if (Math.Abs(x) < 0.1)
        {
            var square = x * x;
            return (x * (1.0 / 3 - square * (1.0 / 45 - square * 2 / 945)), 1.0 / 3 - square * (1.0 / 15 - square * 2 / 189));
        }
        var coth = 1 / Math.Tanh(x);
        return (coth - 1 / x, 1 / (x * x) - (coth * coth - 1));
    }
}
