using Offtape.Testing;

namespace Offtape.Simulator.Tests;

/// <summary>
/// Checks the tape's curves by harmonics measured from outside, against the definition of the maximum output level (3 % third harmonic) and
/// against closed forms of the hysteresis model.
/// </summary>
public sealed class TapeCurveTests
{
    public static TheoryData<TapeCurve, double> Curves =>
        new()
        {
            { TapeCurve.Saturating, 3 },
            { TapeCurve.Saturating, 8 },
            { TapeCurve.Hysteresis, 4 },
        };

    /// <summary>A 400 Hz sine, raised until the output stands at the stated level, has 3 % third harmonic there. Tolerance: 0.1 of the 3 %.</summary>
    [Theory, MemberData(nameof(Curves))]
    public void Third_harmonic_is_three_per_cent_at_the_maximum_output_level(TapeCurve curve, double maximumDb)
    {
        var sound = new SoundModel { Curve = curve, MaximumOutputLevelDb = maximumDb };
        var (low, high) = (0.0, maximumDb + 6);
        for (var i = 0; i < 20; i++)
        {
            var middle = (low + high) / 2;
            (low, high) = Level(sound, middle).FirstDb < maximumDb ? (middle, high) : (low, middle);
        }
        Measured.Within(3, Level(sound, low).ThirdPercent, 0.1, "third harmonic in per cent");
    }

    [Theory, MemberData(nameof(Curves))]
    public void Operating_level_comes_out_at_operating_level(TapeCurve curve, double maximumDb) =>
        Measured.Within(0, Level(new SoundModel { Curve = curve, MaximumOutputLevelDb = maximumDb }, 0).FirstDb, 0.01, "level in dB");

    [Theory, InlineData(0.5), InlineData(2.0)]
    public void Second_harmonic_is_what_the_model_says(double percent)
    {
        var sound = new SoundModel
        {
            Curve = TapeCurve.Saturating,
            SecondHarmonicPercent = percent,
            MaximumOutputLevelDb = 6,
        };
        // First-order relation of shift and second harmonic: a tenth of the value is its error at these levels.
        Measured.Within(percent, Level(sound, 0).SecondPercent, 0.1 * percent, "second harmonic in per cent");
    }

    /// <summary>
    /// First magnetisation at H = M = 0: slope (c/3)/(1 − αc/3) for Ms = a = 1 (the convention's closed form), here with c = 0.9, α = 0.0016.
    /// </summary>
    [Fact]
    public void Hysteresis_begins_with_the_slope_of_the_closed_form()
    {
        var curve = HysteresisCurve.Of(new SoundModel { Curve = TapeCurve.Hysteresis });
        var (small, smaller) = (curve, curve);
        var ratio = small.Next(1e-4) / smaller.Next(1e-5);
        Measured.Within(10, ratio, 1e-3, "ratio of two small first steps");
        // Gain and drive cancel against a saturated state: M tends to L(x) ~ 1 − 1/x, so compare with the curve driven hard.
        var (drive, gain) = DriveAndGain(curve);
        var first = curve;
        Measured.Within(0.9 / 3 / (1 - 0.0016 * 0.9 / 3) * 1e-5, first.Next(1e-5 / drive) / gain, 1e-9, "first magnetisation");
    }

    /// <summary>A loop has remanence: after a strong field of either sign is gone, magnetisation of that sign stays. A static curve has none.</summary>
    [Fact]
    public void Hysteresis_remembers_and_saturation_does_not()
    {
        var loop = HysteresisCurve.Of(new SoundModel { Curve = TapeCurve.Hysteresis });
        var (up, down) = (loop, loop);
        double left = 0,
            right = 0;
        for (var i = 0; i <= 200; i++)
        {
            right = up.Next(4 * Math.Sin(Math.PI * i / 200));
            left = down.Next(-4 * Math.Sin(Math.PI * i / 200));
        }
        Measured.AtLeast(0.01, right, "remanence");
        Measured.Within(-right, left, 1e-12, "the loop is symmetric");
        Assert.Equal(0, SaturatingCurve.Of(new SoundModel()).Next(0));
    }

    /// <summary>
    /// A 9 kHz sine through a hard curve makes 27 and 45 kHz; at 48 kHz without oversampling they would fold to 21 and 3 kHz. What is left
    /// there must lie 75 dB down: the interpolators promise 90, and the curve's own higher products fold from beyond 96 kHz.
    /// </summary>
    [Fact]
    public void Harmonics_do_not_fold_back()
    {
        var x = Listening.Sine(9000, 0, 0.5);
        Oversampled.Apply(x, SaturatingCurve.Of(new SoundModel { Curve = TapeCurve.Saturating, MaximumOutputLevelDb = 3 }));
        var stretch = x.AsSpan(6000, 12_000);
        var tone = Listening.ToneDb(stretch, 9000);
        Measured.AtMost(tone - 75, Listening.ToneDb(stretch, 21_000), "27 kHz folded to 21, in dB");
        Measured.AtMost(tone - 75, Listening.ToneDb(stretch, 3000), "45 kHz folded to 3, in dB");
    }

    [Fact]
    public void A_quiet_sound_passes_the_oversampler_unchanged()
    {
        var sound = new SoundModel { Curve = TapeCurve.Saturating, MaximumOutputLevelDb = 12 };
        var curve = SaturatingCurve.Of(sound);
        var small = curve;
        var gain = small.Next(1e-6) / 1e-6;
        foreach (var frequency in new[] { 50.0, 1000, 10_000, 19_000 })
        {
            var x = Listening.Sine(frequency, -60, 0.25);
            var y = (float[])x.Clone();
            Oversampled.Apply(y, curve);
            for (var i = 1000; i < x.Length - 1000; i++)
                Measured.Within(gain * x[i], y[i], 1e-3 * 3e-4, $"sample {i} at {frequency} Hz");
        }
    }

    /// <summary>The oversampler works in blocks of 4096 frames inside one call: any part of a long signal equals a short signal's.</summary>
    [Fact]
    public void Inner_blocks_do_not_matter()
    {
        var random = new Random(1);
        var x = Enumerable.Range(0, 20_000).Select(_ => (float)(random.NextDouble() - 0.5)).ToArray();
        var curve = SaturatingCurve.Of(new SoundModel { MaximumOutputLevelDb = 3 });
        var shifted = x[1000..];
        Oversampled.Apply(x, curve);
        Oversampled.Apply(shifted, curve);
        // Away from where the shorter one begins, both have seen the same samples in blocks cut elsewhere.
        Assert.Equal(x[1100..], shifted[100..]);
    }

    [Theory]
    [InlineData(TapeCurve.Saturating, 0f), InlineData(TapeCurve.Saturating, 1e3f), InlineData(TapeCurve.Saturating, 1e-42f)]
    [InlineData(TapeCurve.Hysteresis, 0f), InlineData(TapeCurve.Hysteresis, 1e3f), InlineData(TapeCurve.Hysteresis, 1e-42f)]
    public void Output_stays_finite(TapeCurve curve, float value)
    {
        var x = new float[3000];
        for (var i = 0; i < x.Length; i++)
            x[i] = i % 37 < 18 ? value : -value;
        Bend(x, new SoundModel { Curve = curve });
        Assert.All(x, s => Assert.True(float.IsFinite(s)));
    }

    private static (double Drive, double Gain) DriveAndGain(HysteresisCurve curve)
    {
        // Far in saturation M = Ms·(1 − 1/He): two fields give gain and drive.
        double At(double field)
        {
            var copy = curve;
            double value = 0;
            for (var i = 0; i <= 400_000; i++)
                value = copy.Next(field * i / 400_000);
            return value;
        }
        var (a, b) = (At(1e4), At(2e4));
        // a = g(1 − 1/(1e4 d)), b = g(1 − 1/(2e4 d)): g = 2b − a, and d from the difference, but for the coupling αM added to the field.
        var gain = 2 * b - a;
        var drive = gain / (b - a) / 2e4;
        return (drive, gain);
    }

    private static (double FirstDb, double SecondPercent, double ThirdPercent) Level(SoundModel sound, double inputDb)
    {
        var x = Listening.Sine(400, inputDb, 0.2);
        Bend(x, sound);
        var stretch = x.AsSpan(2400, 4800);
        var first = Listening.Tone(stretch, 400).Peak;
        return (20 * Math.Log10(first), 100 * Listening.Tone(stretch, 800).Peak / first, 100 * Listening.Tone(stretch, 1200).Peak / first);
    }

    private static void Bend(float[] x, SoundModel sound)
    {
        if (sound.Curve == TapeCurve.Hysteresis)
            Oversampled.Apply(x, HysteresisCurve.Of(sound));
        else
            Oversampled.Apply(x, SaturatingCurve.Of(sound));
    }
}
