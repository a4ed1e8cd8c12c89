using Offtape.Testing;

namespace Offtape.Simulator.Tests;

/// <summary>Checks the long filters: convolution against its defining sum, designs against the response that was asked for.</summary>
public sealed class FilterTests
{
    /// <summary>y[n] = Σ h[k]·x[n + delay − k], computed slowly in double. Tolerance: rounding of a float transform, 1e-6 of the peak.</summary>
    [Theory, InlineData(1, 0), InlineData(301, 0), InlineData(301, 150), InlineData(4097, 2048)]
    public void A_filter_is_the_convolution_sum(int tapCount, int delay)
    {
        var random = new Random(2);
        var taps = Enumerable.Range(0, tapCount).Select(_ => random.NextDouble() - 0.5).ToArray();
        var x = Enumerable.Range(0, 40_000).Select(_ => (float)(random.NextDouble() - 0.5)).ToArray();
        var y = new float[x.Length];
        new FirFilter(taps, delay).Apply(x, y);
        foreach (var n in Enumerable.Range(0, 60).Select(_ => random.Next(x.Length)).Append(0).Append(x.Length - 1))
        {
            var sum = 0.0;
            for (var k = 0; k < tapCount; k++)
            {
                var m = n + delay - k;
                sum += m >= 0 && m < x.Length ? taps[k] * x[m] : 0;
            }
            Measured.Within(sum, y[n], 1e-6 * Math.Sqrt(tapCount) * 5, $"sample {n}");
        }
    }

    [Fact]
    public void In_place_is_out_of_place()
    {
        var random = new Random(3);
        var taps = Enumerable.Range(0, 1001).Select(_ => random.NextDouble() - 0.5).ToArray();
        foreach (var delay in new[] { 0, 500, 1000 })
        {
            var x = Enumerable.Range(0, 30_000).Select(_ => (float)(random.NextDouble() - 0.5)).ToArray();
            var y = new float[x.Length];
            new FirFilter(taps, delay).Apply(x, y);
            new FirFilter(taps, delay).Apply(x, x);
            Assert.Equal(y, x);
        }
    }

    [Fact]
    public void A_second_use_is_as_the_first()
    {
        var x = Listening.Sine(300, -6, 0.5);
        var (first, second) = (new float[x.Length], new float[x.Length]);
        var filter = new FirFilter([0.5, 0.25, -0.125], 1);
        filter.Apply(x, first);
        filter.Apply(x, second);
        Assert.Equal(first, second);
    }

    [Theory, InlineData(0f), InlineData(1f), InlineData(1e-42f)]
    public void Output_stays_finite(float value)
    {
        var x = new float[20_000];
        Array.Fill(x, value);
        new FirDesign(f => ResponseCurve.MagnitudeAt(MachinePresets.WornDeck.Sound, f), 48_000, true).NewFilter().Apply(x, x);
        Assert.All(x, s => Assert.True(float.IsFinite(s)));
    }

    /// <summary>
    /// The measured response at each frequency is the curve that was asked for, in either phase. Tolerance 0.05 dB: the window over 4097 taps
    /// smooths the response by 12 Hz, which matters only at the bass edge, where 0.6 dB are allowed.
    /// </summary>
    [Theory]
    [InlineData(48_000, true)]
    [InlineData(48_000, false)]
    [InlineData(44_100, true)]
    [InlineData(96_000, true)]
    public void A_design_has_the_response_that_was_asked_for(int rate, bool minimumPhase)
    {
        var sound = MachinePresets.TypicalDeck.Sound;
        var filter = new FirDesign(f => ResponseCurve.MagnitudeAt(sound, f), rate, minimumPhase).NewFilter();
        foreach (var frequency in new[] { 28, 62, 130, 400, 1000, 5000, 10_000, 14_000 })
        {
            var x = Listening.Sine(frequency, -6, 1.5, rate);
            filter.Apply(x, x);
            var wanted = -6 + 20 * Math.Log10(ResponseCurve.MagnitudeAt(sound, frequency));
            var got = Listening.ToneDb(x.AsSpan(rate / 2, rate / 2), frequency, rate);
            Measured.Within(wanted, got, frequency < 100 ? 0.6 : 0.05, $"{frequency} Hz in dB");
        }
    }

    /// <summary>
    /// (1 − a)/(1 − a·z⁻¹) is minimum phase by its definition; its magnitude and phase have closed forms. From the magnitude alone the design
    /// must find the phase. Tolerance: rounding of the floor and of a float transform, 1e-4 rad.
    /// </summary>
    [Fact]
    public void Minimum_phase_is_the_phase_of_a_one_pole_filter()
    {
        const int rate = 48_000;
        const double a = 0.8;
        var filter = new FirDesign(f => (1 - a) / Math.Sqrt(1 + a * a - 2 * a * Math.Cos(2 * Math.PI * f / rate)), rate, true).NewFilter();
        foreach (var frequency in new[] { 200.0, 1000, 5000, 12_000, 20_000 })
        {
            var x = Listening.Sine(frequency, -6, 0.5, rate);
            var y = new float[x.Length];
            filter.Apply(x, y);
            var stretch = rate / 5;
            var before = Listening.Tone(x.AsSpan(stretch, stretch), frequency, rate).Phase;
            var lag = Listening.Tone(y.AsSpan(stretch, stretch), frequency, rate).Phase - before;
            var angle = 2 * Math.PI * frequency / rate;
            var wanted = -Math.Atan2(a * Math.Sin(angle), 1 - a * Math.Cos(angle));
            Measured.Within(wanted, Math.IEEERemainder(lag, 2 * Math.PI), 1e-4, $"phase at {frequency} Hz");
        }
    }

    [Fact]
    public void Zero_phase_leaves_a_pulse_symmetric()
    {
        var x = new float[20_001];
        x[10_000] = 1;
        new FirDesign(f => ResponseCurve.MagnitudeAt(MachinePresets.WornDeck.Sound, f), 48_000, false).NewFilter().Apply(x, x);
        for (var i = 1; i < 3000; i++)
            Measured.Within(x[10_000 - i], x[10_000 + i], 2e-7, $"sample {i}");
    }
}
