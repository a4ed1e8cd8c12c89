using Offtape.Testing;

namespace Offtape.Signal.Tests.Loudness;

/// <summary>
/// Conformance: the minimum-requirement signals of EBU Tech 3341 that can be made from their definitions (1 to 6 and 9 to 23), with the
/// document's own tolerances: ±0.1 LU for loudness, +0.2/−0.4 dB for true peak. (7 and 8 are recordings that the EBU hands out.)
/// No expected value here comes from our own code.
/// </summary>
public sealed class EbuTech3341Tests
{
    private const double ToleranceLu = 0.1;
    private const int Rate = EbuSignals.SampleRateHz;

    private const double Silence = double.NegativeInfinity;

    [Theory]
    [InlineData(1, -23)]
    [InlineData(2, -33)]
    public void Signals_1_and_2_a_steady_tone_reads_the_same_on_all_three_time_scales(int number, double levelDbfs)
    {
        var meter = Measure(EbuSignals.Stereo(Rate, (levelDbfs, 20)));
        Measured.Within(levelDbfs, meter.IntegratedLufs, ToleranceLu, $"signal {number}, I");
        Measured.Within(levelDbfs, meter.ShortTermMaxLufs, ToleranceLu, $"signal {number}, S");
        Measured.Within(levelDbfs, meter.MomentaryMaxLufs, ToleranceLu, $"signal {number}, M");
        Measured.Within(levelDbfs, meter.ShortTermLufs, ToleranceLu, $"signal {number}, S at the end");
        Measured.Within(levelDbfs, meter.MomentaryLufs, ToleranceLu, $"signal {number}, M at the end");
    }

    [Fact]
    public void Signal_3_the_relative_gate_leaves_the_quiet_ends_out() =>
        Measured.Within(-23, Measure(EbuSignals.Stereo(Rate, (-36, 10), (-23, 60), (-36, 10))).IntegratedLufs, ToleranceLu, "signal 3, I");

    [Fact]
    public void Signal_4_the_absolute_gate_leaves_the_near_silence_out() =>
        Measured.Within(
            -23,
            Measure(EbuSignals.Stereo(Rate, (-72, 10), (-36, 10), (-23, 60), (-36, 10), (-72, 10))).IntegratedLufs,
            ToleranceLu,
            "signal 4, I"
        );

    [Fact]
    public void Signal_5_the_relative_gate_stands_10_LU_down() =>
        Measured.Within(
            -23,
            Measure(EbuSignals.Stereo(Rate, (-26, 20), (-20, 20.1), (-26, 20))).IntegratedLufs,
            ToleranceLu,
            "signal 5, I"
        );

    /// <summary>5.0 as L R C Ls Rs, and the same in 5.1 with a loud LFE, which BS.1770 leaves out.</summary>
    [Fact]
    public void Signal_6_surround_channels_are_weighted_and_the_LFE_is_left_out()
    {
        var five = new LoudnessMeter(5, Rate);
        five.Add(EbuSignals.Tone(Rate, 1000, 20, -28, -28, -24, -30, -30));
        Measured.Within(-23, five.IntegratedLufs, ToleranceLu, "signal 6, I");
        var six = new LoudnessMeter(6, Rate);
        six.Add(EbuSignals.Tone(Rate, 1000, 20, -28, -28, -24, -3, -30, -30));
        Measured.Within(-23, six.IntegratedLufs, ToleranceLu, "signal 6 with LFE, I");
    }

    [Fact]
    public void Signal_9_short_term_is_constant_over_a_pattern_as_long_as_its_window()
    {
        var pattern = Enumerable.Repeat<(double, double)[]>([(-20, 1.34), (-30, 1.66)], 5).SelectMany(p => p).ToArray();
        foreach (var reading in ReadingsEvery10Ms(EbuSignals.Stereo(Rate, pattern), 3.0))
            Measured.Within(-23, reading.ShortTermLufs, ToleranceLu, $"signal 9, S at {reading.Seconds:F2} s");
    }

    [Fact]
    public void Signal_10_the_largest_short_term_is_found_wherever_the_tone_begins()
    {
        for (var i = 0; i < 20; i++)
        {
            var meter = Measure(EbuSignals.Stereo(Rate, (Silence, i * 0.15), (-23, 3), (Silence, 1)));
            Measured.Within(-23, meter.ShortTermMaxLufs, ToleranceLu, $"signal 10-{i}, largest S");
        }
    }

    [Fact]
    public void Signal_11_the_running_largest_short_term_follows_each_tone()
    {
        var meter = new LoudnessMeter(2, Rate);
        for (var i = 0; i < 20; i++)
        {
            meter.Add(EbuSignals.Stereo(Rate, (Silence, i * 0.15), (-38 + i, 3), (Silence, 3 - i * 0.15)));
            Measured.Within(-38 + i, meter.ShortTermMaxLufs, ToleranceLu, $"signal 11, largest S after tone {i}");
        }
    }

    [Fact]
    public void Signal_12_momentary_is_constant_over_a_pattern_as_long_as_its_window()
    {
        var pattern = Enumerable.Repeat<(double, double)[]>([(-20, 0.18), (-30, 0.22)], 25).SelectMany(p => p).ToArray();
        foreach (var reading in ReadingsEvery10Ms(EbuSignals.Stereo(Rate, pattern), 1.0))
            Measured.Within(-23, reading.MomentaryLufs, ToleranceLu, $"signal 12, M at {reading.Seconds:F2} s");
    }

    [Fact]
    public void Signal_13_the_largest_momentary_is_found_wherever_the_tone_begins()
    {
        for (var i = 0; i < 20; i++)
        {
            var meter = Measure(EbuSignals.Stereo(Rate, (Silence, i * 0.02), (-23, 0.4), (Silence, 1)));
            Measured.Within(-23, meter.MomentaryMaxLufs, ToleranceLu, $"signal 13-{i}, largest M");
        }
    }

    [Fact]
    public void Signal_14_the_running_largest_momentary_follows_each_tone()
    {
        var meter = new LoudnessMeter(2, Rate);
        for (var i = 0; i < 20; i++)
        {
            meter.Add(EbuSignals.Stereo(Rate, (Silence, i * 0.02), (-38 + i, 0.4), (Silence, 0.4 - i * 0.02)));
            Measured.Within(-38 + i, meter.MomentaryMaxLufs, ToleranceLu, $"signal 14, largest M after tone {i}");
        }
    }

    [Theory]
    [InlineData(15, 1.0 / 4, 0.50, 0, -6)]
    [InlineData(16, 1.0 / 4, 0.50, 45, -6)]
    [InlineData(17, 1.0 / 6, 0.50, 60, -6)]
    [InlineData(18, 1.0 / 8, 0.50, 67.5, -6)]
    [InlineData(19, 1.0 / 4, 1.41, 45, 3)]
    public void Signals_15_to_19_the_true_peak_of_a_tone(int number, double cyclesPerFrame, double amplitude, double phase, double wanted)
    {
        foreach (var rate in new[] { 44_100, 48_000, 96_000 })
        {
            var meter = new LoudnessMeter(2, rate);
            meter.Add(EbuSignals.PeakTone(rate, cyclesPerFrame, amplitude, phase));
            AssertTruePeak(wanted, meter.TruePeakDbtp, $"signal {number} at {rate} Hz");
        }
    }

    [Theory]
    [InlineData(20, 0)]
    [InlineData(21, 1)]
    [InlineData(22, 2)]
    [InlineData(23, 3)]
    public void Signals_20_to_23_the_true_peak_between_the_samples(int number, int offset)
    {
        var meter = Measure(EbuSignals.PeakBetweenSamples(Rate, offset));
        AssertTruePeak(0, meter.TruePeakDbtp, $"signal {number}");
    }

    private static void AssertTruePeak(double wanted, double got, string what)
    {
        Measured.AtMost(wanted + 0.2, got, what + ", dBTP");
        Measured.AtLeast(wanted - 0.4, got, what + ", dBTP");
    }

    private static LoudnessMeter Measure(float[] stereo)
    {
        var meter = new LoudnessMeter(2, Rate);
        meter.Add(stereo);
        return meter;
    }

    private static IEnumerable<(double Seconds, double MomentaryLufs, double ShortTermLufs)> ReadingsEvery10Ms(float[] stereo, double from)
    {
        var meter = new LoudnessMeter(2, Rate);
        const int step = Rate / 100 * 2;
        for (var i = 0; i + step <= stereo.Length; i += step)
        {
            meter.Add(stereo.AsSpan(i, step));
            var seconds = (double)meter.FrameCount / Rate;
            if (seconds >= from)
                yield return (seconds, meter.MomentaryLufs, meter.ShortTermLufs);
        }
    }
}
