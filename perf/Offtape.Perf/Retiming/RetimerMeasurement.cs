using Offtape.Signal;

namespace Offtape.Perf;

/// <summary>
/// The retimer against libsoxr: time in the same run, and the error of both against a sweep's formula; then the retimer alone over the
/// whole range of ratios.
/// </summary>
internal static class RetimerMeasurement
{
    private const int BlockFrames = 96_000;

    /// <param name="arguments">[seconds a row].</param>
    public static int Run(string[] arguments)
    {
        var seconds = arguments.Length > 0 ? double.Parse(arguments[0]) : 6;
        Machine.Print();
        Console.WriteLine(
            $"{Soxr.Version}, VHQ, running; blocks of {BlockFrames} input frames of one channel; vectors {(System.Runtime.Intrinsics.Vector512.IsHardwareAccelerated ? 512 : 256)} bits"
        );
        Console.WriteLine();
        Console.WriteLine("| step | soxr ns a frame | fixed ns | speed, × soxr | map ns | speed, × soxr |");
        Console.WriteLine("| --- | --- | --- | --- | --- | --- |");
        foreach (var (name, inputRate, outputRate) in Ratios)
            Console.WriteLine(SpeedRow(name, inputRate, outputRate, seconds));

        Console.WriteLine();
        Console.WriteLine(
            "| step | to 0.10 | to 0.25 | to 0.50 | to 0.80 | to 0.85 | to 0.90 | beside a tone at 0.80 | at 0.90 | soxr at 0.80 | at 0.90 |"
        );
        Console.WriteLine("| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |");
        foreach (var (name, inputRate, outputRate) in Ratios.Where(ratio => ratio.InputRate > 0))
            Console.WriteLine(AccuracyRow(name, inputRate, outputRate));
        WorstOverAllSteps();
        return 0;
    }

    // The rates as libsoxr is told them: whole where the ratio is one of whole numbers, so that it takes its best way. A negative rate is
    // for us to read backwards, which libsoxr cannot.
    private static readonly (string Name, double InputRate, double OutputRate)[] Ratios =
    [
        ("44.1 to 48 kHz", 44_100, 48_000),
        ("48 to 44.1 kHz", 48_000, 44_100),
        ("tape 0.31 % fast", 1.0031, 1),
        ("tape 0.31 % slow", 0.9969, 1),
        ("backwards, 0.31 % fast", -1.0031, 1),
        ("irrational, 0.7123457", 0.7123457, 1),
        ("irrational, 2.0123", 2.0123, 1),
        ("96 to 48 kHz", 96_000, 48_000),
        ("48 to 96 kHz", 48_000, 96_000),
        ("0.4", 2, 5),
        ("2.5", 5, 2),
    ];

    private static string SpeedRow(string name, double inputRate, double outputRate, double seconds)
    {
        var step = inputRate / outputRate;
        var input = new float[BlockFrames];
        var random = new Random(1);
        foreach (ref var value in input.AsSpan())
            value = (float)(random.NextDouble() - 0.5);
        var output = new float[(int)(input.Length / Math.Abs(step))];
        var first = step > 0 ? 0.25 : input.Length - 1.75;
        var positions = new double[output.Length];
        for (var i = 0; i < positions.Length; i++)
            positions[i] = first + i * step;
        var band = Retimer.BandwidthForStep(step);
        using var soxr = new Soxr.Stream(Math.Abs(inputRate), outputRate);
        var theirs = new float[output.Length + 10_000];
        var times = Race.BestMicroseconds(
            seconds,
            () => soxr.Process(input, theirs),
            () => Retimer.RenderFixed(input, 0, first, step, output),
            () => Retimer.Render(input, 0, positions, band, output)
        );
        var nanoseconds = Array.ConvertAll(times, t => t * 1000 / output.Length);
        return $"| {name} | {nanoseconds[0]:F1} | {nanoseconds[1]:F1} | **{times[0] / times[1]:F2}** | {nanoseconds[2]:F1} | {times[0] / times[2]:F2} |";
    }

    private static string AccuracyRow(string name, double inputRate, double outputRate)
    {
        var step = inputRate / outputRate;
        double[] shares = [0.10, 0.25, 0.50, 0.80, 0.85, 0.90];
        var sweep = new SweepRun(step);
        var ours = new float[sweep.OutputCount];
        Retimer.RenderFixed(sweep.Input, 0, SweepRun.FirstPosition, step, ours);
        var columns = shares.Select(share => $"{sweep.WorstDb(ours, share):F1}");
        var tones = new[] { 0.80, 0.90 }
            .Select(share => BesideToneDb(share, step, (input, output) => Retimer.RenderFixed(input, 0, 0, step, output)))
            .Concat(
                new[] { 0.80, 0.90 }.Select(share =>
                    BesideToneDb(share, step, (input, output) => ResampleBySoxr(input, inputRate, outputRate, output))
                )
            )
            .Select(db => $"{db:F1}");
        return $"| {name} | {string.Join(" | ", columns)} | {string.Join(" | ", tones)} |";
    }

    private static void ResampleBySoxr(float[] input, double inputRate, double outputRate, float[] output)
    {
        using var soxr = new Soxr.Stream(inputRate, outputRate);
        soxr.Process(input, output);
    }

    // What an output holds beside the tone that went in (fitted by least squares and taken out), in dB of the tone.
    private static double BesideToneDb(double shareOfBand, double step, Action<float[], float[]> resample)
    {
        const int skip = 4000;
        var nyquists = shareOfBand * Math.Min(1, 1 / step);
        var output = new float[20_000];
        var input = new float[(int)(output.Length * step) + 20_000];
        for (var i = 0; i < input.Length; i++)
            input[i] = (float)Math.Sin(Math.PI * nyquists * i);
        resample(input, output);
        double cc = 0,
            ss = 0,
            cs = 0,
            yc = 0,
            ys = 0;
        for (var i = skip; i < output.Length - skip; i++)
        {
            var (s, c) = Math.SinCos(Math.PI * nyquists * step * i);
            (cc, ss, cs, yc, ys) = (cc + c * c, ss + s * s, cs + c * s, yc + output[i] * c, ys + output[i] * s);
        }
        var determinant = cc * ss - cs * cs;
        var (a, b) = ((yc * ss - ys * cs) / determinant, (ys * cc - yc * cs) / determinant);
        double rest = 0;
        for (var i = skip; i < output.Length - skip; i++)
        {
            var (s, c) = Math.SinCos(Math.PI * nyquists * step * i);
            rest += Math.Pow(output[i] - a * c - b * s, 2);
        }
        return 10 * Math.Log10(rest / (output.Length - 2 * skip) / ((a * a + b * b) / 2));
    }

    private static void WorstOverAllSteps()
    {
        var (worst80, worst90) = ((Db: -999.0, Step: 0.0), (Db: -999.0, Step: 0.0));
        var count = 0;
        for (var step = 0.4; step <= 2.5; step *= 1.0013)
        {
            var sweep = new SweepRun(step);
            var output = new float[sweep.OutputCount];
            Retimer.RenderFixed(sweep.Input, 0, SweepRun.FirstPosition, step, output);
            var (to80, to90) = (sweep.WorstDb(output, 0.8), sweep.WorstDb(output, 0.9));
            worst80 = to80 > worst80.Db ? (to80, step) : worst80;
            worst90 = to90 > worst90.Db ? (to90, step) : worst90;
            count++;
        }
        Console.WriteLine();
        Console.WriteLine(
            $"Worst of {count} ratios from 0.4 to 2.5: {worst80.Db:F1} dB to 0.8 (at {worst80.Step:F4}), {worst90.Db:F1} dB to 0.9 (at {worst90.Step:F4})."
        );
    }

    /// <summary>A sweep from 0 to 0.92 of the lower Nyquist frequency, made from its formula, and outputs compared with it.</summary>
    private sealed class SweepRun
    {
        public const double FirstPosition = 2000.3;

        private readonly double _step;
        private readonly double _rate;
        private readonly double _band;

        public SweepRun(double step)
        {
            _step = step;
            _band = Math.Min(1, 1 / step);
            OutputCount = 40_000;
            _rate = 0.92 * _band / (OutputCount * step);
            Input = new float[(int)(OutputCount * step) + 6000];
            for (var i = 0; i < Input.Length; i++)
                Input[i] = (float)At(i);
        }

        public int OutputCount { get; }

        public float[] Input { get; }

        /// <summary>The greatest RMS error of any hundred outputs up to a share of the band, in dB of a sine's RMS.</summary>
        public double WorstDb(float[] output, double upToShare)
        {
            double worst = 0;
            for (var start = 0; start + 100 <= output.Length && _rate * (start + 99) * _step <= upToShare * _band; start += 100)
            {
                double sum = 0;
                for (var i = start; i < start + 100; i++)
                    sum += Math.Pow(output[i] - At(FirstPosition + i * _step), 2);
                worst = Math.Max(worst, sum / 100);
            }
            return 10 * Math.Log10(worst / 0.5);
        }

        private double At(double frame)
        {
            var t = frame - FirstPosition;
            return Math.Sin(Math.PI * _rate * t * t / 2);
        }
    }
}
