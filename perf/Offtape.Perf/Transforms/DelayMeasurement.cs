using Offtape.Signal;

namespace Offtape.Perf;

/// <summary>
/// The delay estimator against the Cramér–Rao bound: a flat common signal of the whole band, independent noise of the same power in both
/// channels, random fractional delays. σ² = 3/(N·π²)·(1 + 2·SNR)/SNR² frames² (the bound of Knapp and Carter 1976 for this case).
/// </summary>
internal static class DelayMeasurement
{
    private const int MaxLagFrames = 40;

    /// <param name="arguments">[trials a row].</param>
    public static int Run(string[] arguments)
    {
        var trials = arguments.Length > 0 ? int.Parse(arguments[0]) : 1000;
        Machine.Print();
        Console.WriteLine($"{trials} trials a row, delays within ±{MaxLagFrames - 2} frames, seeds fixed");
        Console.WriteLine();
        Console.WriteLine(
            "| frames | S/N dB | β | bound, frames | σ ÷ bound | mean error ÷ its σ | predicted σ ÷ σ | worst error ÷ σ | wrong peaks | lowest ρ | lowest strength |"
        );
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (var frames in new[] { 512, 2048, 8192 })
        foreach (var snrDb in new[] { 0, 10, 20, 30, 40 })
        foreach (var beta in new[] { 0, 0.5, 1 })
            Console.WriteLine(Row(frames, snrDb, beta, trials));
        Console.WriteLine();
        Console.WriteLine("Time of one estimate with one peak, β 0.5, best of many:");
        foreach (var frames in new[] { 512, 2048, 8192 })
        {
            var (estimator, pair, peaks) = (Estimator(frames, 0.5), new DelayedPair(frames, MaxLagFrames), new DelayPeak[1]);
            pair.Fill(new Random(1), 3.3, 0.1);
            var microseconds = Race.BestMicroseconds(1, () => estimator.Estimate(pair.Reference, pair.Other, peaks))[0];
            Console.WriteLine($"{frames} frames {microseconds:F0} µs");
        }
        Console.WriteLine();
        Console.WriteLine("No common signal: independent noise in both channels.");
        Console.WriteLine();
        Console.WriteLine("| frames | β | highest ρ | mean strength | highest strength | strength above 6 |");
        Console.WriteLine("| --- | --- | --- | --- | --- | --- |");
        foreach (var frames in new[] { 512, 2048, 8192 })
        foreach (var beta in new[] { 0, 0.5, 1 })
            Console.WriteLine(NothingRow(frames, beta, trials));
        return 0;
    }

    private static string Row(int frames, double snrDb, double beta, int trials)
    {
        var (estimator, source) = (Estimator(frames, beta), new DelayedPair(frames, MaxLagFrames));
        var random = new Random(frames + (int)snrDb);
        var snr = Math.Pow(10, snrDb / 10);
        var bound = Math.Sqrt(3 / (frames * Math.PI * Math.PI) * (1 + 2 * snr) / (snr * snr));
        var peaks = new DelayPeak[1];
        var (errors, predicted, rho, strength, wrong) = (new List<double>(), 0.0, double.MaxValue, double.MaxValue, 0);
        for (var trial = 0; trial < trials; trial++)
        {
            var lag = (MaxLagFrames - 2) * (2 * random.NextDouble() - 1);
            source.Fill(random, lag, 1 / Math.Sqrt(snr));
            if (
                estimator.Estimate(source.Reference, source.Other, peaks) == 0
                || Math.Abs(peaks[0].LagFrames - lag) > 0.5
                || peaks[0].Polarity < 0
            )
            {
                wrong++;
                continue;
            }
            errors.Add(peaks[0].LagFrames - lag);
            predicted += peaks[0].SigmaFrames * peaks[0].SigmaFrames;
            rho = Math.Min(rho, peaks[0].Rho);
            strength = Math.Min(strength, peaks[0].Strength);
        }
        var mean = errors.Average();
        var sigma = Math.Sqrt(errors.Average(e => e * e));
        var predictedSigma = Math.Sqrt(predicted / errors.Count);
        return $"| {frames} | {snrDb} | {beta} | {bound:G4} | **{sigma / bound:F2}** | {mean / (sigma / Math.Sqrt(errors.Count)):F1} | {predictedSigma / sigma:F2} | {errors.Max(Math.Abs) / sigma:F1} | {wrong} | {rho:F3} | {strength:F1} |";
    }

    private static string NothingRow(int frames, double beta, int trials)
    {
        var estimator = Estimator(frames, beta);
        var (reference, other) = (new DelayedPair(frames, MaxLagFrames), new DelayedPair(frames, MaxLagFrames));
        var random = new Random(frames);
        var peaks = new DelayPeak[1];
        var (rho, strengths) = (0.0, new List<double>());
        for (var trial = 0; trial < trials; trial++)
        {
            reference.Fill(random, 0, 0);
            other.Fill(random, 0, 0);
            if (estimator.Estimate(reference.Reference, other.Other, peaks) == 0)
                continue;
            rho = Math.Max(rho, peaks[0].Rho);
            strengths.Add(peaks[0].Strength);
        }
        return $"| {frames} | {beta} | {rho:F3} | {strengths.Average():F2} | {strengths.Max():F2} | {strengths.Count(s => s > 6)} |";
    }

    private static DelayEstimator Estimator(int frames, double beta) =>
        new(
            new DelayEstimatorOptions
            {
                SampleRateHz = 48_000,
                WindowFrames = frames,
                MaxLagFrames = MaxLagFrames,
                WhiteningExponent = beta,
            }
        );

    /// <summary>A white signal and its delayed copy: both exact, being one periodic spectrum turned by its own phase.</summary>
    private sealed class DelayedPair
    {
        private readonly int maxLagFrames;
        private readonly RealTransform transform;
        private readonly float[] re;
        private readonly float[] im;
        private readonly float[] turnedRe;
        private readonly float[] turnedIm;
        private readonly float[] samples;

        public DelayedPair(int frames, int maxLagFrames)
        {
            this.maxLagFrames = maxLagFrames;
            Reference = new float[frames];
            Other = new float[frames + 2 * maxLagFrames];
            transform = new RealTransform(TransformLength.AtLeast(2 * Other.Length));
            (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
            (turnedRe, turnedIm) = (new float[transform.BinCount], new float[transform.BinCount]);
            samples = new float[transform.Length];
        }

        public float[] Reference { get; }

        public float[] Other { get; }

        public void Fill(Random random, double lagFrames, double noise)
        {
            // Power 1 a sample: N²/(N) of the transform's own scale, half of it in each part.
            var scale = Math.Sqrt(transform.Length / 2.0);
            for (var k = 1; k < re.Length - 1; k++)
                (re[k], im[k]) = ((float)(scale * Gaussian(random)), (float)(scale * Gaussian(random)));
            transform.Inverse(re, im, samples);
            var start = transform.Length / 4;
            samples.AsSpan(start, Reference.Length).CopyTo(Reference);
            for (var k = 1; k < re.Length - 1; k++)
            {
                var (s, c) = Math.SinCos(-2 * Math.PI * k * lagFrames / transform.Length);
                turnedRe[k] = (float)(re[k] * c - im[k] * s);
                turnedIm[k] = (float)(re[k] * s + im[k] * c);
            }
            transform.Inverse(turnedRe, turnedIm, samples);
            samples.AsSpan(start - maxLagFrames, Other.Length).CopyTo(Other);
            foreach (ref var value in Reference.AsSpan())
                value += (float)(noise * Gaussian(random));
            foreach (ref var value in Other.AsSpan())
                value += (float)(noise * Gaussian(random));
        }

        private static double Gaussian(Random random) =>
            Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
    }
}
