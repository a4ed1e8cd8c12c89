using Offtape.Testing;

namespace Offtape.Signal.Tests.Retiming;

/// <summary>
/// The retimer along a time map: a sweep read with wobble is what its formula says at the wobbling times, and reading it back by the
/// inverse map gives the sweep again. 48 kHz; 0.2 ms at 3 Hz and +0.05 % of speed, a worn cassette's order of movement.
/// </summary>
public sealed class RetimerMapTests
{
    private const double Rate = 48_000;
    private const double Speed = 1.0005;
    private const double WobbleFrames = 0.0002 * Rate;
    private const double WobbleRadiansPerFrame = 2 * Math.PI * 3 / Rate;

    private const double LargestStep = Speed + WobbleFrames * WobbleRadiansPerFrame;

    private static readonly (double, double)[] Limits = [(0.10, -120), (0.25, -120), (0.50, -120), (0.80, -120), (0.90, -100)];

    [Fact]
    public void A_wobbling_sweep_is_20_bits_exact_to_four_fifths_of_the_band()
    {
        const int outputs = 96_000;
        var band = Retimer.BandwidthForStep(LargestStep);
        var sweep = Sweep.Between(0, outputs * Speed, 0, 0.91 * band);
        var output = RenderMap(sweep.Frames(-500, outputs + 1500), -500, Positions(0, outputs), band);
        var table = new LimitTable(Limits);
        for (var i = 0; i < outputs; i++)
            table.Add(sweep.NyquistsAt(Map(i)) / band, output[i] - sweep.At(Map(i)));
        table.AssertHeld("wobble");
    }

    /// <summary>Two readings, each within −120 dB; two equal errors in step add up to 6 dB more.</summary>
    [Fact]
    public void Map_then_inverse_gives_the_sound_back()
    {
        const int outputs = 96_000;
        const int spare = 1000;
        var band = Retimer.BandwidthForStep(LargestStep);
        // The inverse steps by up to 1/(smallest step of the map), and may not alias either.
        var inverseBand = Retimer.BandwidthForStep(1 / (Speed - WobbleFrames * WobbleRadiansPerFrame));
        var sweep = Sweep.Between(0, outputs, 0, 0.8 * Math.Min(band, inverseBand));
        var warped = RenderMap(sweep.Frames(-3 * spare, outputs + 6 * spare), -3 * spare, Positions(-spare, outputs + 2 * spare), band);
        var back = new double[outputs];
        for (var i = 0; i < outputs; i++)
            back[i] = Inverse(i);
        var output = RenderMap(warped, -spare, back, inverseBand);
        var table = new LimitTable((0.80, -114), (0.40, -114));
        for (var i = 0; i < outputs; i++)
            table.Add(sweep.NyquistsAt(i) / Math.Min(band, inverseBand), output[i] - sweep.At(i));
        table.AssertHeld("there and back");
    }

    /// <summary>At 30 minutes the map's positions are near 8.6e7 frames; only the needed window of input is given.</summary>
    [Fact]
    public void A_map_at_30_minutes_is_as_good_as_at_the_beginning()
    {
        const long late = 86_400_000;
        const int outputs = 20_000;
        var band = Retimer.BandwidthForStep(LargestStep);
        var sweep = Sweep.Between(0, outputs * Speed, 0, 0.8 * band);
        var positions = Positions(0, outputs);
        var early = RenderMap(sweep.Frames(-200, outputs + 600), -200, positions, band);
        var moved = Array.ConvertAll(positions, p => p + late);
        var output = RenderMap(sweep.Frames(-200, outputs + 600), late - 200, moved, band);
        var table = new LimitTable((0.8, -120));
        for (var i = 0; i < outputs; i++)
            // The truth at the position as a double holds it there: what was asked for.
            table.Add(sweep.NyquistsAt(positions[i]) / band, output[i] - sweep.At(moved[i] - late));
        table.AssertHeld("30 minutes in");
        Measured.AtMost(1e-6, early.Zip(output, (a, b) => Math.Abs((double)a - b)).Max(), "difference from the beginning");
    }

    [Fact]
    public void The_identity_map_copies_bit_for_bit()
    {
        var input = Noise(5000, 1);
        var positions = Enumerable.Range(-20, 5040).Select(i => (double)i).ToArray();
        var output = RenderMap(input, 0, positions, 1);
        Assert.Equal([.. new float[20], .. input, .. new float[20]], output);
        Array.Reverse(positions);
        Array.Reverse(input);
        Assert.Equal([.. new float[20], .. input, .. new float[20]], RenderMap([.. input.Reverse()], 0, positions, 1));
    }

    /// <summary>
    /// A whole position within a moving map is not identity: a copied frame between filtered ones would be an image of everything in
    /// the roll-off.
    /// </summary>
    [Fact]
    public void Doubling_the_rate_by_a_map_leaves_no_image_of_the_roll_off()
    {
        var input = new float[4000];
        for (var i = 0; i < input.Length; i++)
            input[i] = (float)Math.Sin(Math.PI * 0.96 * i);
        var positions = Enumerable.Range(0, 4000).Select(i => 1000 + i * 0.5).ToArray();
        var map = RenderMap(input, 0, positions, 1);
        var fixedRate = new float[4000];
        Retimer.RenderFixed(input, 0, 1000, 0.5, fixedRate);
        for (var i = 0; i < map.Length; i++)
            // Two ways of adding up the same products in float.
            Measured.Within(fixedRate[i], map[i], 1e-6, $"frame {i}");
    }

    private static double Map(double output) => Speed * output + WobbleFrames * Math.Sin(WobbleRadiansPerFrame * output);

    // Newton's method; the map's slope is near 1 everywhere.
    private static double Inverse(double position)
    {
        var output = position / Speed;
        for (var k = 0; k < 20; k++)
            output -= (Map(output) - position) / (Speed + WobbleFrames * WobbleRadiansPerFrame * Math.Cos(WobbleRadiansPerFrame * output));
        return output;
    }

    private static double[] Positions(int first, int count)
    {
        var positions = new double[count];
        for (var i = 0; i < count; i++)
            positions[i] = Map(first + i);
        return positions;
    }

    private static float[] RenderMap(float[] input, long inputStart, double[] positions, double bandwidth)
    {
        var output = new float[positions.Length];
        Retimer.Render(input, inputStart, positions, bandwidth, output);
        return output;
    }

    private static float[] Noise(int count, int seed)
    {
        var random = new Random(seed);
        return [.. Enumerable.Range(0, count).Select(_ => random.NextSingle() - 0.5f)];
    }
}
