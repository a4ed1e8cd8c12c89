using Offtape.Testing;

namespace Offtape.Signal.Tests.Retiming;

/// <summary>
/// The retimer against a sweep made from its formula, evaluated at the very positions asked for: no stored result, no trust in
/// ourselves. "The band" is the lower of the two Nyquist frequencies. Float audio holds about −150 dB, so the truth is finer than the
/// limits, which are the product's own promise.
/// </summary>
public sealed class RetimerAccuracyTests
{
    private static readonly (double, double)[] Limits = [(0.10, -120), (0.25, -120), (0.50, -120), (0.80, -120), (0.90, -100)];

    // 44.1 to 48 kHz and back, whole ratios, tape a little fast or slow, either end of the range, backwards; and ratios over the whole
    // range in small steps, so that every rung of the kernel's ladder is met somewhere.
    public static TheoryData<double> Steps()
    {
        var steps = new TheoryData<double>();
        foreach (var step in (double[])[44_100 / 48_000.0, 48_000 / 44_100.0, 0.5, 2, 1.0031, 0.9969, 0.4, 2.5, -1, -0.997, -1.7])
            steps.Add(step);
        for (var step = 0.4037; step < 2.5; step *= 1.0671)
            steps.Add(step);
        return steps;
    }

    [Theory]
    [MemberData(nameof(Steps))]
    public void A_sweep_at_a_constant_rate_is_what_its_formula_says(double step)
    {
        const int outputs = 40_000;
        var band = Band(step);
        var margin = Retimer.HalfWidthFrames(step) + 1;
        var firstPosition = 0.3 + (step < 0 ? -step * outputs : 0);
        var (low, high) = (
            Math.Min(firstPosition, firstPosition + step * outputs),
            Math.Max(firstPosition, firstPosition + step * outputs)
        );
        var sweep = Sweep.Between(low, high, 0, 0.91 * band);
        var inputStart = (long)Math.Floor(low) - margin;
        var input = sweep.Frames(inputStart, (int)(high - low) + 2 * margin + 2);
        var output = new float[outputs];
        Retimer.RenderFixed(input, inputStart, firstPosition, step, output);

        var table = new LimitTable(Limits);
        for (var i = 0; i < outputs; i++)
        {
            var position = firstPosition + i * step;
            table.Add(sweep.NyquistsAt(position) / band, output[i] - sweep.At(position));
        }
        table.AssertHeld($"step {step}");
    }

    /// <summary>Nothing at or above the band limit comes through: −110 dB for every tone from there to the input's Nyquist frequency.</summary>
    [Theory]
    [InlineData(48_000 / 44_100.0)]
    [InlineData(1.0031)]
    [InlineData(1.25)]
    [InlineData(-1.6)]
    [InlineData(2)]
    [InlineData(2.5)]
    public void What_the_output_cannot_carry_does_not_alias(double step)
    {
        var band = Band(step);
        for (var k = 0; k <= 60; k++)
        {
            var nyquists = Math.Min(band + (1 - band) * k / 60, 0.9999);
            if (nyquists < band)
                continue;
            var output = RenderTone(nyquists, step);
            Measured.AtMost(-110, 10 * Math.Log10(output.Sum(y => (double)y * y) / output.Length / 0.5), $"dB of a tone at {nyquists:F4}");
        }
    }

    /// <summary>
    /// Of a tone, whatever its level after the roll-off, only that tone is left: images and noise lie below −110 dB, for every frequency
    /// up to the input's Nyquist. The tone itself is fitted (least squares) and taken out.
    /// </summary>
    [Theory]
    [InlineData(0.4)]
    [InlineData(0.5)]
    [InlineData(44_100 / 48_000.0)]
    [InlineData(0.9969)]
    [InlineData(-0.7071)]
    [InlineData(1.0031)]
    [InlineData(1.7)]
    public void No_image_is_left_of_any_tone(double step)
    {
        var band = Band(step);
        for (var k = 1; k <= 60; k++)
        {
            var nyquists = band * k / 60.5;
            var output = RenderTone(nyquists, step);
            Measured.AtMost(-110, ResidualDb(output, nyquists * step), $"dB beside a tone at {nyquists:F4}");
        }
    }

    /// <summary>
    /// 30 minutes in, a position is as exact as after one second. The truth uses whole numbers: output frame N of 44.1 to 48 kHz stands
    /// at N·147/160 exactly.
    /// </summary>
    [Fact]
    public void After_30_minutes_the_result_is_as_good_as_after_one_second()
    {
        var early = WorstNear(48_000);
        var late = WorstNear(30L * 60 * 48_000);
        Measured.AtMost(-120, early, "dB after 1 s");
        Measured.AtMost(-120, late, "dB after 30 min");
        // A double holds positions near 8e7 frames to 7e-9 frame, −155 dB at the top of the band: it may not show.
        Measured.Within(early, late, 1, "dB, early against late");

        static double WorstNear(long firstOutput)
        {
            const int outputs = 20_000;
            const double step = 147 / 160.0;
            var start = firstOutput * 147 / 160;
            var remainder = firstOutput * 147 % 160;
            var inputStart = start - 100;
            var sweep = Sweep.Between(0, outputs * step, 0, 0.8);
            var input = sweep.Frames(-100, (int)(outputs * step) + 300);
            var output = new float[outputs];
            Retimer.RenderFixed(input, inputStart, 0, step, output, firstOutput);
            var table = new LimitTable((0.8, -120));
            for (var i = 0; i < outputs; i++)
            {
                var position = (remainder + i * 147L) / 160.0;
                table.Add(sweep.NyquistsAt(position), output[i] - sweep.At(position));
            }
            return table.WorstDb(0);
        }
    }

    // The lower of the two Nyquist frequencies as a share of the input's: by definition, not as the retimer says.
    private static double Band(double step) => Math.Min(1, 1 / Math.Abs(step));

    private static float[] RenderTone(double nyquists, double step)
    {
        const int outputs = 1500;
        var margin = Retimer.HalfWidthFrames(step) + 1;
        var span = (int)(outputs * Math.Abs(step)) + 1;
        var input = new float[span + 2 * margin + 2];
        for (var i = 0; i < input.Length; i++)
            input[i] = (float)Math.Sin(Math.PI * nyquists * (i - margin) + 0.4);
        var output = new float[outputs];
        Retimer.RenderFixed(input, -margin, step > 0 ? 0.3 : span - 0.7, step, output);
        return output;
    }

    // What is left when a sine of this frequency (in the output's Nyquists) has been fitted and taken out, in dB of a full-scale sine.
    private static double ResidualDb(float[] output, double nyquists)
    {
        double cc = 0,
            ss = 0,
            cs = 0,
            yc = 0,
            ys = 0;
        for (var i = 0; i < output.Length; i++)
        {
            var (s, c) = Math.SinCos(Math.PI * nyquists * i);
            cc += c * c;
            ss += s * s;
            cs += c * s;
            yc += output[i] * c;
            ys += output[i] * s;
        }
        var determinant = cc * ss - cs * cs;
        var (a, b) = ((yc * ss - ys * cs) / determinant, (ys * cc - yc * cs) / determinant);
        double rest = 0;
        for (var i = 0; i < output.Length; i++)
        {
            var (s, c) = Math.SinCos(Math.PI * nyquists * i);
            var error = output[i] - a * c - b * s;
            rest += error * error;
        }
        return 10 * Math.Log10(rest / output.Length / 0.5);
    }
}
