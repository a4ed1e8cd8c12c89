using Offtape.Testing;

namespace Offtape.Simulator.Tests;

/// <summary>Checks that the demo piece is what it says: four stems, 84 beats a minute, clean ends, the same every time.</summary>
public sealed class LanternQuayTests
{
    private static readonly Lazy<IReadOnlyList<DemoStem>> Piece = new(() => LanternQuay.Render());

    [Fact]
    public void There_are_four_stems_of_one_length_and_one_of_them_is_mono()
    {
        Assert.Equal(["bowed-glass", "marimba-figure", "brushed-kit", "low-pulse"], Piece.Value.Select(s => s.FileName));
        Assert.Equal([2, 2, 2, 1], Piece.Value.Select(s => s.Channels.Length));
        Assert.Single(Piece.Value.SelectMany(s => s.Channels).Select(c => c.Length).Distinct());
        Measured.Within(29, LanternQuay.LengthSeconds, 5, "length in seconds");
    }

    [Theory]
    [InlineData("bowed-glass", -6)]
    [InlineData("marimba-figure", -3)]
    [InlineData("brushed-kit", -3)]
    [InlineData("low-pulse", -4.5)]
    public void Peaks_stand_where_they_should_and_both_ends_are_quiet(string name, double peakDbfs)
    {
        var stem = Piece.Value.Single(s => s.FileName == name);
        Measured.Within(peakDbfs, 20 * Math.Log10(stem.Channels.Max(c => c.Max(Math.Abs))), 1e-4, "peak in dBFS");
        foreach (var channel in stem.Channels)
        {
            Measured.AtMost(0.01, Math.Abs(channel[0]), "first sample");
            Measured.AtMost(1e-5, channel[^200..].Max(Math.Abs), "last samples");
            Assert.All(channel, s => Assert.True(float.IsFinite(s)));
        }
    }

    /// <summary>
    /// The soft drum falls on beats one and three: energy below 150 Hz, folded at two beats of 84 a minute, stands together; folded at 80 or 88
    /// it smears. The measure is the length of the mean vector of onset phases (circular statistics): 1 together, 0 spread evenly; the drum's
    /// off-beats in every second bar take it down to some 0.65.
    /// </summary>
    [Fact]
    public void The_kit_keeps_84_beats_a_minute()
    {
        var kit = Piece.Value.Single(s => s.FileName == "brushed-kit").Channels[0];
        var envelope = new double[(int)(27 * 200.0)];
        var low = 0.0;
        for (var i = 0; i < envelope.Length * 240; i++)
        {
            low += 0.012 * (kit[i] - low);
            envelope[i / 240] += low * low;
        }
        double Togetherness(double beatsPerMinute)
        {
            var (re, im, sum) = (0.0, 0.0, 0.0);
            for (var k = 1; k < envelope.Length; k++)
            {
                var rise = Math.Max(0, envelope[k] - envelope[k - 1]);
                var phase = 2 * Math.PI * k / 200.0 * beatsPerMinute / 60;
                (re, im, sum) = (re + rise * Math.Cos(phase), im + rise * Math.Sin(phase), sum + rise);
            }
            return double.Hypot(re, im) / sum;
        }
        Measured.AtLeast(0.55, Togetherness(84), "togetherness at 84");
        Measured.AtMost(0.3, Togetherness(80), "togetherness at 80");
        Measured.AtMost(0.3, Togetherness(88), "togetherness at 88");
    }

    [Fact]
    public void It_is_the_same_every_time_and_scales_with_the_rate()
    {
        var again = LanternQuay.Render(16_000);
        var twice = LanternQuay.Render(16_000);
        for (var i = 0; i < again.Count; i++)
            Assert.Equal(again[i].Channels[0], twice[i].Channels[0]);
        Measured.Within(LanternQuay.LengthSeconds, again[0].Channels[0].Length / 16_000.0, 1e-4, "length in seconds");
    }
}
