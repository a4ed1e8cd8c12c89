using Offtape.Perf.Slates;
using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Tape.Tests.Slates;

/// <summary>
/// Slates made from the closed form of a hyperbolic chirp (J. Yang and T. K. Sarkar, MOTL 48(6), 2006: period linear in time) at the speed
/// itself, in white noise at 20 dB S/N from 500 Hz to 6 kHz, and found again. The limits are those the program promises: 0.1 ms, 0.01 %.
/// perf/results/slates.md has the full count.
/// </summary>
public sealed class SlateTests
{
    [Fact]
    public void A_hundred_slates_at_any_speed_and_direction_are_found_timed_and_read()
    {
        var outcomes = new SlateTrials.Outcome[100];
        Parallel.For(0, outcomes.Length, i => outcomes[i] = SlateTrials.Run(SlateTrials.Draw(i, 20)));
        Assert.All(
            outcomes,
            o =>
            {
                Assert.True(o.IsFound && o.IsDirectionRight && o.IsCodeRight);
                Measured.AtMost(0.1, Math.Abs(o.TimeErrorMs), "time, ms");
                Measured.AtMost(0.01, Math.Abs(o.SpeedErrorPercent), "mean speed, %");
                Assert.Equal(0, o.FalseCount);
            }
        );
    }

    [Theory]
    [InlineData(0)]
    [InlineData(20)]
    public void Noise_and_tones_hold_no_slate(double toneLevel)
    {
        var random = new Random(5);
        var audio = new float[16_000 * 30];
        for (var i = 0; i < audio.Length; i++)
            audio[i] = (float)(SlateTrials.Gaussian(random) + toneLevel * Math.Sin(2 * Math.PI * 740 * i / 16_000.0));
        var detector = new SlateDetector(16_000);
        detector.Process(audio);
        Assert.Empty(detector.Read((start, frames) => CopyOrSilence(audio, start, frames)));
    }

    [Fact]
    public void Silence_holds_no_slate()
    {
        var detector = new SlateDetector(16_000);
        detector.Process(new float[50_000]);
        Assert.Empty(detector.Read((_, frames) => frames.Clear()));
    }

    [Fact]
    public void Feeding_in_pieces_finds_the_same()
    {
        var audio = new float[80_000];
        Slate.Synthesise(new SlateCode(SlateKind.Gap, 9, 77), 16_000).CopyTo(audio, 20_000);
        var whole = Detect(audio, audio.Length);
        var pieces = Detect(audio, 777);
        Assert.Single(whole);
        Assert.Equal(whole, pieces);
        Assert.Equal(new SlateCode(SlateKind.Gap, 9, 77), whole[0].Code);
        // The start follows from the chirps' closed form; a tenth of a frame at 16 kHz is 6 µs.
        Measured.Within(20_000 / 16_000.0, whole[0].SlateStartSeconds, 6e-6, "start, s");
    }

    [Theory]
    [InlineData(SlateKind.Head)]
    [InlineData(SlateKind.Gap)]
    [InlineData(SlateKind.Tail)]
    public void Every_code_survives_being_written_as_symbols(SlateKind kind)
    {
        for (var number = 0; number < (kind == SlateKind.Gap ? 32 : 16); number++)
        {
            for (var unit = 0; unit < SlateLayout.UnitCount(kind); unit++)
            {
                var symbol = SlateLayout.FirstSymbol(new SlateCode(kind, number, 0), unit);
                Assert.InRange(symbol, 0, SlateLayout.SlotCount - 1);
                Assert.Equal((kind, unit, number), SlateLayout.ReadFirstSymbol(symbol));
            }
        }
    }

    [Theory]
    [InlineData(44_100)]
    [InlineData(48_000)]
    [InlineData(192_000)]
    public void A_slate_stays_within_full_scale(int sampleRateHz)
    {
        for (var pass = 0; pass < 128; pass += 9)
            Assert.True(Slate.Synthesise(new SlateCode(SlateKind.Head, 3, pass), sampleRateHz).Max(Math.Abs) <= 1.0001f);
    }

    private static IReadOnlyList<DetectedSlate> Detect(float[] audio, int piece)
    {
        var detector = new SlateDetector(16_000);
        for (var start = 0; start < audio.Length; start += piece)
            detector.Process(audio.AsSpan(start, Math.Min(piece, audio.Length - start)));
        return detector.Read((start, frames) => CopyOrSilence(audio, start, frames));
    }

    private static void CopyOrSilence(float[] audio, long start, Span<float> frames)
    {
        for (var i = 0; i < frames.Length; i++)
            frames[i] = start + i >= 0 && start + i < audio.Length ? audio[start + i] : 0;
    }
}
