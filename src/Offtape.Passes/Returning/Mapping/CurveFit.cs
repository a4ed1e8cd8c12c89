namespace Offtape.Passes.Mapping;

/// <summary>The tape's curve by weighted least squares on what the linear model leaves, over all frames together.</summary>
internal static class CurveFit
{
    // How large either may be before anything is known, one sigma.
    private const double SquarePrior = 0.05;
    private const double CubePrior = 0.5;

    internal static TapeCurve Refit(TapeCurve before, FrameSums sums, BandPlan bands, float[,] excess, LagSolver solver, double[] present)
    {
        double ss = 1 / (SquarePrior * SquarePrior),
            cc = 1 / (CubePrior * CubePrior),
            sc = 0;
        var (s, c) = (-before.Square * ss, -before.Cube * cc);
        for (var k = 0; k < sums.FrameCount; k++)
        {
            var (gain, lag) = (solver.Gain[k], solver.StepAt(k, present[k]));
            if (gain is < 0.3 or > 1.7)
                continue;
            for (var b = 0; b < bands.Count; b++)
            {
                var of = sums.Of(k, b);
                var share = 1.0 / excess[k, b];
                ss += share * of[(int)BandSum.SquarePower];
                cc += share * of[(int)BandSum.CubePower];
                sc += share * of[(int)BandSum.SquareCube];
                s += share * (of[(int)BandSum.SquareCapture] - gain * of[(int)BandSum.SquareSource] + lag * of[(int)BandSum.SquareSlope]);
                c += share * (of[(int)BandSum.CubeCapture] - gain * of[(int)BandSum.CubeSource] + lag * of[(int)BandSum.CubeSlope]);
            }
        }
        var determinant = ss * cc - sc * sc;
        return determinant <= 0
            ? before
            : new TapeCurve(
                Math.Clamp(before.Square + (s * cc - c * sc) / determinant, -0.3, 0.3),
                Math.Clamp(before.Cube + (c * ss - s * sc) / determinant, -1, 1)
            );
    }
}
