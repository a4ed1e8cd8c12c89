using Offtape.Testing;

namespace Offtape.Simulator.Tests;

/// <summary>Checks the chance behind the noises, and that the noise sources do not care how a signal is cut into blocks.</summary>
public sealed class NoiseSourceTests
{
    private static readonly NoiseModel Model = new()
    {
        SignalToNoiseDb = 40,
        ModulationNoiseDb = -30,
        HumDb = -40,
    };

    /// <summary>
    /// Moments of the normal distribution: mean 0, variance 1, fourth moment 3. The sum of eight bytes has 3 − 1.2/8 = 2.85 (uniform numbers have
    /// −1.2 of excess). Four million draws know the mean to 0.0005, the variance to 0.0007 and the fourth moment to 0.005: three times that.
    /// </summary>
    [Theory, InlineData(true, 3.0), InlineData(false, 2.85)]
    public void Noise_has_the_moments_it_should(bool isNormal, double fourth)
    {
        var dice = new Dice(1, "moments");
        const int count = 4_000_000;
        var (sum, squares, fourths) = (0.0, 0.0, 0.0);
        for (var i = 0; i < count; i++)
        {
            var x = isNormal ? dice.Normal() : dice.Rough();
            (sum, squares, fourths) = (sum + x, squares + x * x, fourths + x * x * x * x);
        }
        Measured.Within(0, sum / count, 0.0015, "mean");
        Measured.Within(1, squares / count, 0.0022, "variance");
        Measured.Within(fourth, fourths / count, 0.015, "fourth moment");
    }

    [Fact]
    public void Draws_for_different_purposes_have_nothing_in_common()
    {
        Dice[] dice = [new(1, "hiss"), new(2, "hiss"), new(1, "hum"), new(1, "hiss", 1)];
        var draws = Array.ConvertAll(dice, d => Enumerable.Range(0, 20_000).Select(_ => d.Normal()).ToArray());
        for (var a = 0; a < draws.Length; a++)
        {
            // 20 000 independent pairs: a correlation of 0.007; four times that.
            for (var b = a + 1; b < draws.Length; b++)
                Measured.Within(0, draws[a].Zip(draws[b], (x, y) => x * y).Average(), 0.03, $"correlation of {a} and {b}");
        }
        Assert.Equal(new Dice(5, "x", 2).NextBits(), new Dice(5, "x", 2).NextBits());
    }

    [Fact]
    public void Block_boundaries_do_not_matter()
    {
        var (whole, parts) = (Signal(), Signal());
        Apply(whole, [whole.Length]);
        var random = new Random(3);
        Apply(parts, [.. Enumerable.Range(0, 400).Select(_ => random.Next(0, 300))]);
        for (var i = 0; i < whole.Length; i++)
            Measured.Within(whole[i], parts[i], 1e-7, $"frame {i}");
    }

    [Fact]
    public void Blocks_allocate_nothing()
    {
        var (hiss, grain, hum) = Sources();
        var block = new float[4096];
        Run(0);
        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var i = 1; i < 10; i++)
            Run(i);
        Assert.Equal(before, GC.GetAllocatedBytesForCurrentThread());

        void Run(int i)
        {
            grain.Apply(block);
            hiss.AddTo(block, []);
            hum.AddTo(block, i * 4096L);
        }
    }

    /// <summary>Hum an hour into a capture has the phase of the formula: oscillators are set afresh, and do not drift.</summary>
    [Fact]
    public void Hum_keeps_its_phase_for_an_hour()
    {
        var model = new NoiseModel { HumDb = 0, HumHz = 50 };
        var (early, late) = (new float[960], new float[960]);
        new Hum(model, 48_000, new Dice(1, "h")).AddTo(early, 0);
        // 172 800 000 frames are a whole number of cycles of 50 Hz.
        new Hum(model, 48_000, new Dice(1, "h")).AddTo(late, 172_800_000);
        for (var i = 0; i < early.Length; i++)
            Measured.Within(early[i], late[i], 1e-6, $"frame {i}");
    }

    private static (HissSource Hiss, ModulationNoise Grain, Hum Hum) Sources() =>
        (
            new HissSource(Model, 48_000, new Dice(7, "hiss")),
            new ModulationNoise(Model, 48_000, new Dice(7, "grain")),
            new Hum(Model, 48_000, new Dice(7, "hum"))
        );

    private static float[] Signal() => Listening.Sine(1000, -6, 0.15);

    private static void Apply(float[] signal, int[] cuts)
    {
        var (hiss, grain, hum) = Sources();
        var from = 0;
        foreach (var cut in cuts)
        {
            var block = signal.AsSpan(from, Math.Min(cut, signal.Length - from));
            grain.Apply(block);
            hiss.AddTo(block, []);
            hum.AddTo(block, from);
            from += block.Length;
        }
        Assert.Equal(signal.Length, from);
    }
}
