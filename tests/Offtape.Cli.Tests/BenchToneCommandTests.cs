using System.Text.Json;
using Offtape.Cli.Tests.Running;
using Offtape.Testing;

namespace Offtape.Cli.Tests;

/// <summary>The <c>bench tone</c> verb: its JSON is the contract, its numbers those of tones written from their formula.</summary>
public sealed class BenchToneCommandTests
{
    private static readonly ModulatedTone Tone = new()
    {
        FrequencyHz = 3150 * 1.007,
        Seconds = 14,
        SignalToNoiseDb = 50,
        Wobbles = [(4, 0.1, 0)],
    };

    /// <summary>±0.1 % at 4 Hz: two-sigma 0.0997, peak 0.1000, RMS 0.0707 % (IEC 60386, closed form), each within 1 %; the fields are those stated.</summary>
    [Fact]
    public void A_modulated_tone_reads_as_IEC_60386_has_it()
    {
        using var folder = new TemporaryFolder();
        var file = folder.Write("tone.wav", WaveBytes.Pcm16(48_000, Tone.Make()));
        var row = Tool.Run("bench", "tone", file, "--nominal", "3150", "--json").Json;
        double Of(string name) => row.GetProperty(name).GetDouble();
        Measured.Within(3150 * 1.007, Of("meanFrequencyHz"), 0.01, "mean");
        Measured.Within(0.7, Of("speedErrorPercent"), 0.0005, "speed error");
        // A sine over 55.2 turns leaves a straight line of up to 6/(π·55) of its peak.
        Measured.Within(0, Of("driftPercent"), 0.004, "drift");
        Measured.Within(0.0997, Of("weightedTwoSigmaPercent"), 0.001, "two-sigma");
        Measured.Within(0.1, Of("weightedPeakPercent"), 0.001, "peak");
        Measured.Within(0.0707, Of("weightedRmsPercent"), 0.0007, "RMS");
        // Noise at 50 dB is 0.0022 % RMS in the unweighted band, and a peak holds some of it.
        Measured.Within(0.1, Of("unweightedPeakPercent"), 0.005, "unweighted peak");
        Measured.Within(0.0707, Of("unweightedRmsPercent"), 0.0007, "unweighted RMS");
        var line = row.GetProperty("lines")[0];
        Measured.Within(4, line.GetProperty("hz").GetDouble(), 0.02, "line");
        Measured.Within(0.1, line.GetProperty("percentPeak").GetDouble(), 0.001, "its peak");
    }

    /// <summary>Near a usual test tone it is assumed and said; elsewhere the speed error is null. 3075 Hz may be 3150 or 3000.</summary>
    [Theory, InlineData(3150 * 1.007, 3150.0), InlineData(992.0, 1000.0), InlineData(3075.0, null), InlineData(440.0, null)]
    public void Without_a_nominal_frequency_only_a_near_test_tone_is_assumed(double frequencyHz, double? assumedHz)
    {
        using var folder = new TemporaryFolder();
        var file = folder.Write("tone.wav", WaveBytes.Pcm16(48_000, (Tone with { FrequencyHz = frequencyHz, Seconds = 7 }).Make()));
        var row = Tool.Run("bench", "tone", file, "--json").Json;
        var error = row.GetProperty("speedErrorPercent");
        Measured.Within(frequencyHz, row.GetProperty("meanFrequencyHz").GetDouble(), 0.5, "mean");
        if (assumedHz is { } hz)
            Measured.Within((frequencyHz / hz - 1) * 100, error.GetDouble(), 0.02, "speed error");
        else
            Assert.Equal(JsonValueKind.Null, error.ValueKind);
        Assert.Equal(assumedHz is not null, row.GetProperty("isNominalAssumed").GetBoolean());
        Assert.Contains(assumedHz is null ? "not known" : "assumed", Tool.Run("bench", "tone", file).Output, StringComparison.Ordinal);
    }

    /// <summary>4 Hz is none of the usual parts at 4.76 cm/s, and the belt where it is known to turn so often.</summary>
    [Fact]
    public void A_part_whose_turns_are_given_is_thought_of_first()
    {
        using var folder = new TemporaryFolder();
        var file = folder.Write("tone.wav", WaveBytes.Pcm16(48_000, Tone.Make()));
        Assert.Contains(
            "a belt may turn 4.0 times",
            Tool.Run("bench", "tone", file, "--speed", "4.76", "--turning", "belt=4Hz").Output,
            StringComparison.Ordinal
        );
        var wrong = Tool.Run("bench", "tone", file, "--turning", "wheel=4Hz");
        Assert.Equal(2, wrong.ExitCode);
        Assert.Contains("wheel", wrong.OneErrorLine, StringComparison.Ordinal);
    }

    [Fact]
    public void Where_there_is_no_tone_it_says_so_and_ends_with_3()
    {
        using var folder = new TemporaryFolder();
        var random = new Random(1);
        var noise = new float[8 * 48_000];
        for (var i = 0; i < noise.Length; i++)
            noise[i] = 0.2f * (random.NextSingle() - 0.5f);
        foreach (var samples in new[] { noise, new float[48_000], (Tone with { Seconds = 3 }).Make() })
        {
            var ran = Tool.Run("bench", "tone", folder.Write("none.wav", WaveBytes.Pcm16(48_000, samples)), "--json");
            Assert.Equal((3, ""), (ran.ExitCode, ran.Output));
            Assert.Contains("No tone of 5 s", ran.Error, StringComparison.Ordinal);
        }
    }

    /// <summary>By arithmetic: a capstan of 2.4 mm at 4.7625 cm/s turns 6.317 times a second.</summary>
    [Fact]
    public void With_the_tape_speed_it_names_turning_parts_as_candidates()
    {
        using var folder = new TemporaryFolder();
        var tone = Tone with { Wobbles = [(6.317, 0.1, 0), (12.634, 0.03, 1)], Seconds = 20 };
        var file = folder.Write("tone.wav", WaveBytes.Pcm16(48_000, tone.Make()));
        var parts = Tool.Run("bench", "tone", file, "--speed", "1.875ips", "--capstan", "2.4", "--json").Json.GetProperty("parts");
        Assert.Equal("capstan", parts[0].GetProperty("part").GetString());
        Measured.Within(6.317, parts[0].GetProperty("turnsPerSecond").GetDouble(), 0.02, "turns a second");
        Assert.True(parts.EnumerateArray().Sum(p => p.GetProperty("likelihood").GetDouble()) <= 1);
        Assert.Contains("no certainty", Tool.Run("bench", "tone", file, "--speed", "1.875ips").Output, StringComparison.Ordinal);
    }
}
