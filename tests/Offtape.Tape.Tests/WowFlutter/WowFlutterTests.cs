using Offtape.Signal;
using Offtape.Testing;

namespace Offtape.Tape.Tests;

/// <summary>
/// Checks the weighting against AES6-2008 Table 1 (IEC 60386 Table I) and the readings against closed forms of sinusoidal and Gaussian
/// modulation. The 63 Hz row is left out everywhere: copies of it disagree (−14.2 and −13.7 dB).
/// </summary>
public sealed class WowFlutterTests
{
    // 95th percentile of |sin|: sin(0.95·π/2).
    private static readonly double TwoSigmaOfSine = Math.Sin(0.95 * Math.PI / 2);

    /// <summary>Table 1. The fit's own promise, 0.3 dB, lies far inside the standard's tolerance of 2 dB (values from memory).</summary>
    public static TheoryData<double, double> Table =>
        new()
        {
            { 0.1, -48.0 },
            { 0.2, -30.6 },
            { 0.315, -19.7 },
            { 0.4, -15.0 },
            { 0.63, -8.4 },
            { 0.8, -6.0 },
            { 1.0, -4.2 },
            { 1.6, -1.8 },
            { 2.0, -0.9 },
            { 4.0, 0 },
            { 6.3, -0.9 },
            { 10, -2.1 },
            { 20, -5.9 },
            { 40, -10.4 },
            { 100, -17.3 },
            { 200, -23.0 },
        };

    [Theory, MemberData(nameof(Table))]
    public void The_curve_follows_the_published_table(double frequencyHz, double gainDb)
    {
        Measured.Within(gainDb, WowFlutterWeighting.GainDbAt(frequencyHz), frequencyHz == 0.1 ? 0.35 : 0.3, "gain in dB");
        Assert.Contains(WowFlutterWeighting.Table, row => row == (frequencyHz, gainDb));
    }

    /// <summary>The filter is the curve: the promise is 0.1 dB from 2000 values a second up, and 0.4 dB at 1000.</summary>
    [Theory, InlineData(1000.0, 0.4), InlineData(2000.0, 0.1), InlineData(8000.0, 0.1), InlineData(48_000.0, 0.1)]
    public void The_filter_is_the_curve_at_any_rate(double rateHz, double tolerance)
    {
        var sections = WowFlutterWeighting.DesignFilter(rateHz);
        foreach (var row in WowFlutterWeighting.Table)
        {
            var gain = 1.0;
            foreach (var section in sections)
                gain *= section.ResponseAt(row.FrequencyHz, rateHz).Magnitude;
            Assert.All(sections, s => Assert.True(s.IsStable));
            Measured.Within(WowFlutterWeighting.GainDbAt(row.FrequencyHz), 20 * Math.Log10(gain), tolerance, $"{row.FrequencyHz} Hz in dB");
        }
    }

    [Fact]
    public void A_curve_sampled_too_slowly_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>(() => WowFlutterWeighting.DesignFilter(100));

    /// <summary>
    /// ±0.1 % at 4 Hz: weighted peak 0.1000 %, RMS 0.0707 %, two-sigma 0.0997 % (closed form). Tolerance: half of the last digit; twice that
    /// for two-sigma, whose place among the 125 different values of a cycle of 250 is a step of 0.1 %.
    /// </summary>
    [Theory, InlineData(1000.0), InlineData(2000.0), InlineData(16_000.0)]
    public void Four_hertz_reads_itself(double rateHz)
    {
        var reading = WowFlutterMeter.Read(Sine(4, 0.1, 13, rateHz), rateHz);
        Measured.Within(0.1, reading.WeightedPeakPercent, 0.00006, "weighted peak in per cent");
        Measured.Within(0.07071, reading.WeightedRmsPercent, 0.00006, "weighted RMS in per cent");
        Measured.Within(0.09969, reading.WeightedTwoSigmaPercent, 0.0001, "weighted two-sigma in per cent");
        Measured.Within(0.1, reading.UnweightedPeakPercent, 0.00006, "unweighted peak in per cent");
        Measured.Within(0.07071, reading.UnweightedRmsPercent, 0.00006, "unweighted RMS in per cent");
        Measured.Within(0.09969, reading.UnweightedTwoSigmaPercent, 0.0001, "unweighted two-sigma in per cent");
        Measured.Within(10, reading.MeasuredSeconds, 1e-9, "seconds read");
    }

    /// <summary>At other rates of modulation the readings are those of the table's gain, within the fit's 0.3 dB.</summary>
    [Theory]
    [InlineData(0.2, 0.00294), InlineData(0.8, 0.04996), InlineData(2, 0.08988), InlineData(6.3, 0.08988), InlineData(10, 0.07828)]
    [InlineData(20, 0.05054), InlineData(40, 0.03011), InlineData(100, 0.01360), InlineData(200, 0.00706)]
    public void Other_modulations_read_by_the_table(double frequencyHz, double twoSigmaPercent)
    {
        // Whole turns in the ten seconds that are read, and a minute for the slow one to settle.
        var seconds = frequencyHz < 1 ? 63 : 13;
        var reading = WowFlutterMeter.Read(Sine(frequencyHz, 0.1, seconds, 2000), 2000);
        var tolerance = twoSigmaPercent * (Math.Pow(10, 0.31 / 20) - 1);
        // The settling of the slowest pole still shows at 0.2 Hz, where 31 dB are taken off.
        Measured.Within(
            twoSigmaPercent,
            reading.WeightedTwoSigmaPercent,
            tolerance + (frequencyHz < 0.5 ? 0.0003 : 0),
            "two-sigma in per cent"
        );
        if (frequencyHz >= 1)
            Measured.Within(twoSigmaPercent / TwoSigmaOfSine, reading.WeightedPeakPercent, tolerance * 1.05, "peak in per cent");
    }

    /// <summary>Gaussian deviation: two-sigma is 1.95996 times RMS, the 95th percentile of |x|; 600 s of it tell it within 1 %.</summary>
    [Fact]
    public void Two_sigma_of_noise_is_1_96_times_its_rms()
    {
        var random = new Random(12);
        var noise = new double[600 * 1000];
        for (var i = 0; i < noise.Length; i++)
            noise[i] = 0.1 * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        var reading = WowFlutterMeter.Read(noise, 1000);
        Measured.Within(1.95996, reading.UnweightedTwoSigmaPercent / reading.UnweightedRmsPercent, 0.01, "unweighted ratio");
        Measured.Within(1.95996, reading.WeightedTwoSigmaPercent / reading.WeightedRmsPercent, 0.02, "weighted ratio");
    }

    [Fact]
    public void A_constant_speed_error_is_a_mean_and_no_flutter()
    {
        var deviation = new double[10_000];
        Array.Fill(deviation, 0.4);
        var reading = WowFlutterMeter.Read(deviation, 1000);
        Measured.Within(0.4, reading.MeanPercent, 1e-12, "mean in per cent");
        Measured.AtMost(1e-12, reading.WeightedPeakPercent, "weighted peak");
        Measured.AtMost(1e-12, reading.UnweightedPeakPercent, "unweighted peak");
    }

    [Theory, InlineData(1), InlineData(2), InlineData(700), InlineData(5999)]
    public void A_short_curve_is_read_over_what_there_is(int count)
    {
        var reading = WowFlutterMeter.Read(new double[count], 1000);
        Measured.Within((count - Math.Min(3000, count / 2)) / 1000.0, reading.MeasuredSeconds, 1e-12, "seconds read");
        Assert.Equal(0, reading.WeightedTwoSigmaPercent);
        Assert.Throws<ArgumentException>(() => WowFlutterMeter.Read([], 1000));
    }

    [Fact]
    public void The_weighted_curve_does_not_depend_on_a_shift_of_the_mean()
    {
        var plain = Sine(3, 0.2, 5, 1000);
        var shifted = Array.ConvertAll(plain, d => d + 1.5);
        var (a, b) = (WowFlutterMeter.Weigh(plain, 1000), WowFlutterMeter.Weigh(shifted, 1000));
        for (var i = 0; i < a.Length; i++)
            Measured.Within(a[i], b[i], 1e-9, $"value {i}");
    }

    private static double[] Sine(double frequencyHz, double peak, double seconds, double rateHz)
    {
        var curve = new double[(int)(seconds * rateHz)];
        for (var i = 0; i < curve.Length; i++)
            curve[i] = peak * Math.Sin(2 * Math.PI * frequencyHz * i / rateHz + 0.4);
        return curve;
    }
}
