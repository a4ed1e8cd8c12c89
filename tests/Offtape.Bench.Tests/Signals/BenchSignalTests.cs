using Offtape.Base;
using Offtape.Tape;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>Checks the rendered check signal against its sheet: levels and frequencies by arithmetic from closed forms, slates by the detector.</summary>
public sealed class BenchSignalTests
{
    private static readonly BenchSheet Sheet = BenchSheetMaker.Make(new BenchSheetRequest());
    private static readonly Lazy<float[][]> Rendered = new(() => BenchSignal.Render(Sheet));

    private static ReadOnlySpan<float> Of(string name, int channel = 0, double skipSeconds = 0)
    {
        var part = Sheet.Parts.Single(p => p.Name == name);
        var from = (int)Math.Round((part.StartSeconds + skipSeconds) * Sheet.SampleRateHz);
        return Rendered.Value[channel].AsSpan(from, (int)Math.Ceiling((part.LengthSeconds - skipSeconds) * Sheet.SampleRateHz));
    }

    private static double PeakDbfs(ReadOnlySpan<float> audio)
    {
        var peak = 0f;
        foreach (var value in audio)
            peak = Math.Max(peak, Math.Abs(value));
        return Conversions.AmplitudeToDb(peak);
    }

    /// <summary>Tolerance: a sine's samples miss its peak by at most 1 − cos(π·f ÷ rate): 0.19 dB at 3150 Hz, less below.</summary>
    [
        Theory,
        InlineData("polarity", 0),
        InlineData("level-315", 0),
        InlineData("level-1000", 0),
        InlineData("speed-3150", -6),
        InlineData("stairs-315", 10),
        InlineData("stairs-1000", 10),
        InlineData("sweep-minus20-both", -20),
        InlineData("sweep-0-both", 0),
        InlineData("sweep-plus6-both", 6),
        InlineData("sweep-minus20-left", -20),
        InlineData("erasure", 6)
    ]
    public void A_part_peaks_at_its_level_over_operating_level(string name, double levelDb) =>
        Measured.Within(-12 + levelDb, PeakDbfs(Of(name)), 0.19, name);

    /// <summary>Between the samples too: looked at from its formula at 25 points to the shortest period, which miss a peak by 0.07 dB at most.</summary>
    [Theory, InlineData("multitone-minus20", -20), InlineData("multitone-0", 0), InlineData("multitone-plus6", 6)]
    public void The_sum_of_a_multitone_peaks_at_its_level(string name, double levelDb)
    {
        var part = Sheet.Parts.Single(p => p.Name == name);
        var audio = new float[384_000];
        PartSound.Add(part, -12, 384_000, 384_000, audio);
        Measured.Within(-12 + levelDb, PeakDbfs(audio), 0.07, name);
    }

    [Fact]
    public void The_sum_of_a_multitone_has_a_low_crest_factor()
    {
        double sum = 0;
        var audio = Of("multitone-0", 0, 0.1)[..(2 * Sheet.SampleRateHz)];
        foreach (var value in audio)
            sum += (double)value * value;
        // At the samples; 9.5 dB between them. Chance phases give some 12.
        Measured.AtMost(9.1, PeakDbfs(audio) - 10 * Math.Log10(sum / audio.Length), "crest factor in dB");
    }

    [Fact]
    public void Each_step_of_a_staircase_stands_at_its_level()
    {
        foreach (var part in Sheet.Parts.Where(p => p.Kind == BenchPartKind.Staircase))
        {
            var step = part.LengthSeconds / part.StepLevelsDb.Count;
            for (var i = 0; i < part.StepLevelsDb.Count; i++)
            {
                // RMS over whole cycles in the middle of the step, far from its fades; a sine's RMS is its peak ÷ √2.
                double sum = 0;
                var count = (int)(0.2 * Sheet.SampleRateHz);
                var middle = Of(part.Name).Slice((int)((i + 0.25) * step * Sheet.SampleRateHz), count);
                foreach (var value in middle)
                    sum += (double)value * value;
                var peakDbfs = 10 * Math.Log10(2 * sum / count);
                Measured.Within(-12 + part.StepLevelsDb[i], peakDbfs, 1e-3, $"{part.Name} step {i}");
            }
        }
    }

    [Fact]
    public void A_sweep_is_its_formula()
    {
        // Novak, Lotton and Simon 2015, written out: f1 = 20, f2 = 20 000, κ = round(20·6 ÷ ln 1000) = 17, L = 0.85.
        var audio = Of("sweep-0-both");
        foreach (var t in new[] { 0.1, 1.0, 2.5, 4.75, 5.8 })
        {
            var frame = (int)Math.Round(t * Sheet.SampleRateHz);
            var wanted = Math.Pow(10, -12 / 20.0) * Math.Sin(2 * Math.PI * 17 * Math.Exp(frame / 48000.0 / 0.85));
            // Phases of 17 000 cycles in doubles: 1e-12 cycles; a float's rounding is the larger part.
            Measured.Within(wanted, audio[frame], 1e-7, $"at {t} s");
        }
    }

    [Fact]
    public void Only_the_channels_of_a_part_carry_it()
    {
        Assert.Equal(double.NegativeInfinity, PeakDbfs(Of("sweep-minus20-left", 1)));
        Assert.Equal(double.NegativeInfinity, PeakDbfs(Of("sweep-minus20-right", 0)));
        Measured.Within(-32, PeakDbfs(Of("sweep-minus20-right", 1)), 0.19);
        Assert.Equal(double.NegativeInfinity, PeakDbfs(Of("silence")));
    }

    [Fact]
    public void Nothing_in_it_reaches_full_scale() => Measured.AtMost(-1.99, Rendered.Value.Max(c => PeakDbfs(c)), "peak in dBFS");

    [Fact]
    public void Pulses_of_the_polarity_part_are_tall_upwards_and_without_DC()
    {
        var (highest, lowest, sum) = (0f, 0f, 0.0);
        foreach (var value in Of("polarity"))
        {
            (highest, lowest) = (Math.Max(highest, value), Math.Min(lowest, value));
            sum += value;
        }
        // Ricker's wavelet: its sides are 2·e^(−3/2) of its middle; its integral is zero.
        Measured.Within(2 * Math.Exp(-1.5), -lowest / highest, 1e-3);
        Measured.AtMost(1e-4 * highest, Math.Abs(sum));
    }

    [Fact]
    public void However_it_is_cut_into_blocks_it_is_the_same()
    {
        var signal = new BenchSignal(Sheet);
        var dice = new Random(5);
        var first = (long)(Sheet.Parts.Single(p => p.Name == "polarity").StartSeconds * Sheet.SampleRateHz) - 5000;
        for (var end = first + 30 * Sheet.SampleRateHz; first < end; )
        {
            var block = new float[2 * dice.Next(1, 50_000)];
            signal.Render(first, block);
            for (var i = 0; i < block.Length; i++)
                Assert.Equal(Rendered.Value[i % 2][first + i / 2], block[i]);
            first += block.Length / 2;
        }
    }

    [Fact]
    public void Its_slates_are_heard_where_the_sheet_says()
    {
        var detector = new SlateDetector(Sheet.SampleRateHz);
        detector.Process(Rendered.Value[1]);
        var heard = detector.Read(
            (start, frames) =>
            {
                for (var i = 0; i < frames.Length; i++)
                    frames[i] = start + i >= 0 && start + i < Rendered.Value[1].Length ? Rendered.Value[1][start + i] : 0;
            }
        );
        Assert.Equal(Sheet.Slates.Count + 2, heard.Count);
        foreach (var unit in heard)
        {
            var slate = Sheet.Slates.Single(s => s.Kind == unit.Code!.Value.Kind && s.Number == unit.Code.Value.Number);
            Assert.Equal(Slate.ShortPassNumber(Sheet.SheetId), unit.Code!.Value.PassNumber);
            // Sub-frame: the detector times clean chirps to a few microseconds.
            Measured.Within(slate.StartSeconds, unit.SlateStartSeconds, 1e-5);
        }
    }
}
