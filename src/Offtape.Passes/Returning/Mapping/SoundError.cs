namespace Offtape.Passes.Mapping;

/// <summary>How far the model is from the sound itself, by band: the median share of power that is left in loud moments.</summary>
internal static class SoundError
{
    private const double Unknown = 1e-3;
    private const double Least = 1e-5;
    private const double Most = 0.5;
    private const double LoudOverHiss = 30;
    private const int FewestFrames = 15;

    internal static void Learn(NoiseModel noise, FrameSums sums, BandPlan bands, LagSolver solver, double[] present)
    {
        Array.Fill(noise.Error, (float)Unknown);
        var ratios = new List<double>();
        for (var b = 0; b < bands.Count; b++)
        {
            ratios.Clear();
            for (var k = 0; k < sums.FrameCount; k++)
            {
                var s = sums.Of(k, b);
                var (power, hiss) = (s[(int)BandSum.SourcePower], s[(int)BandSum.Hiss]);
                if (power > LoudOverHiss * hiss && power > 1)
                    ratios.Add((LagSolver.Residual(s, solver.Gain[k], solver.StepAt(k, present[k])) - hiss) / power);
            }
            if (ratios.Count < FewestFrames)
                continue;
            ratios.Sort();
            var error = (float)Math.Clamp(ratios[ratios.Count / 2], Least, Most);
            noise.Error.AsSpan(bands.Starts[b], bands.BinsIn(b)).Fill(error);
        }
    }
}
