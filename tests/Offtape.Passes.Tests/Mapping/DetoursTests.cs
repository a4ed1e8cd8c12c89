using Offtape.Passes.Mapping;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Mapping;

/// <summary>Slipped periods in curves by formula: wow of 1 % at 1.3 Hz (±1.2 ms) and, in some, a plateau a period away.</summary>
public sealed class DetoursTests
{
    private const double StepSeconds = 512 / 24_000.0;
    private const int Count = 240;

    private static double[] Wow(Func<double, double>? besides = null)
    {
        var curve = new double[Count];
        for (var k = 0; k < Count; k++)
        {
            var s = k * StepSeconds;
            curve[k] = 0.01 / (2 * Math.PI * 1.3) * Math.Sin(2 * Math.PI * 1.3 * s) + (besides?.Invoke(s) ?? 0);
        }
        return curve;
    }

    // A straight leap of 80 ms out at one second and back at another.
    private static double Plateau(double s, double from, double to, double height) =>
        height * Math.Clamp((s - from) / 0.08, 0, 1) * Math.Clamp((to - s) / 0.08, 0, 1);

    [Fact]
    public void Wow_alone_holds_none() => Assert.Empty(Detours.Find(Wow(), StepSeconds));

    [Theory]
    [InlineData(0.0082)]
    [InlineData(-0.0105)]
    public void A_slipped_period_is_found_with_its_size(double height)
    {
        var curve = Wow(s => Plateau(s, 1.5, 3, height));
        var detour = Assert.Single(Detours.Find(curve, StepSeconds));
        // Twice the wow's amplitude: it goes on under the plateau.
        Measured.Within(height, detour.Seconds, 2.5e-3, "size, s");
        Measured.Within(1.58, detour.FirstPlateauFrame * StepSeconds, 0.15, "first plateau frame, s");
        Measured.Within(2.92, detour.LastPlateauFrame * StepSeconds, 0.15, "last plateau frame, s");
    }

    [Fact]
    public void Taken_out_by_its_shares_it_leaves_the_wow()
    {
        var (clean, curve) = (Wow(), Wow(s => Plateau(s, 1.5, 3, 0.0082)));
        var detour = Assert.Single(Detours.Find(curve, StepSeconds));
        for (var k = Math.Max(0, detour.FirstFrame); k <= Math.Min(Count - 1, detour.LastFrame); k++)
            curve[k] -= detour.Seconds * detour.ShareAt(k);
        for (var k = detour.FirstPlateauFrame; k <= detour.LastPlateauFrame; k++)
            Measured.Within(clean[k], curve[k], 2.5e-3, $"frame {k}, s");
    }

    [Fact]
    public void One_that_never_comes_back_lasts_to_the_end_and_a_leap_of_a_stopped_tape_is_none()
    {
        var slip = Assert.Single(Detours.Find(Wow(s => 0.009 * Math.Clamp((s - 4) / 0.08, 0, 1)), StepSeconds));
        Assert.Equal(Count - 1, slip.LastPlateauFrame);
        Assert.Empty(Detours.Find(Wow(s => 0.5 * Math.Clamp((s - 4) / 0.08, 0, 1)), StepSeconds));
    }
}
