using Offtape.Base;
using Offtape.Signal;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>Level control and one-sided noise reduction made by their own static laws, and machines that have neither.</summary>
public sealed class AutomaticsTests
{
    /// <summary>A compressor of 2 : 1 gives half of each step, an expander twice: the slopes are the laws themselves.</summary>
    [Theory]
    [InlineData(0.5, "noise-reduction")]
    [InlineData(2, "noise-reduction")]
    [InlineData(1, null)]
    [InlineData(0.1, "level-control")]
    public void The_slope_is_that_of_the_law_and_is_named(double slope, string? suspicion)
    {
        var findings = Read(channels => Array.ForEach(channels, c => Compand(c, slope, 0)), noiseRms: 1e-4);
        Measured.Within(slope, findings.Only("levelFollowing", 1, "1 kHz").Value!.Value, 0.02 * Math.Max(1, slope));
        Assert.Equal(suspicion, findings.Notices.Count == 0 ? null : findings.Notices[0].Code);
    }

    /// <summary>
    /// A gain that holds what is over −18 dB and leaves the rest, so quickly that no step is seen to move: two slopes in one staircase, which no
    /// noise reduction has.
    /// </summary>
    [Fact]
    public void Steps_that_stop_at_a_ceiling_are_level_control()
    {
        var ceiling = BenchRun.Operating * Conversions.DbToAmplitude(-18);
        var findings = Read(
            channels =>
            {
                var sheet = BenchRun.Sheet("stairs");
                foreach (var part in sheet.Parts)
                {
                    for (var step = 0; step < part.StepLevelsDb.Count; step++)
                    {
                        var gain = Math.Min(1, ceiling / (BenchRun.Operating * Conversions.DbToAmplitude(part.StepLevelsDb[step])));
                        var from = (int)((part.StartSeconds + step * PartSound.StepSeconds(part)) * BenchRun.RateHz);
                        for (var i = from; i < from + PartSound.StepSeconds(part) * BenchRun.RateHz; i++)
                            channels[0][i] *= (float)gain;
                    }
                }
            },
            noiseRms: 1e-4
        );
        Assert.Equal("level-control", findings.Notices[0].Code);
    }

    /// <summary>Only the treble is squeezed, as a sliding shelf does it: at 10 kHz two dB come back as three, at 1 kHz one as one.</summary>
    [Theory]
    [InlineData(0.7, "recording")]
    [InlineData(1.4, "replay")]
    public void Squeezed_treble_is_noise_reduction_on_one_side(double slope, string side)
    {
        var findings = Read(
            channels =>
            {
                var part = BenchRun.Sheet("stairs").Parts.Single(p => p.FrequencyHz == 10_000);
                var (from, to) = (
                    (int)(part.StartSeconds * BenchRun.RateHz),
                    (int)((part.StartSeconds + part.LengthSeconds) * BenchRun.RateHz)
                );
                Array.ForEach(channels, c => Compand(c.AsSpan(from, to - from), slope, 0));
            },
            noiseRms: 1e-4
        );
        var notice = findings.Notices[0];
        Assert.Equal("noise-reduction", notice.Code);
        Assert.Contains(side, notice.Text);
        Assert.Contains("10 kHz", notice.Text);
    }

    /// <summary>The simulated machine's level control, and the same machine without: no preset is suspected of one.</summary>
    [Fact]
    public void A_machine_that_sets_its_own_level_is_suspected_and_others_are_not()
    {
        var sheet = BenchRun.Sheet("stairs");
        var send = BenchSignal.Render(sheet);
        foreach (var model in (MachineModel[])[MachinePresets.TypicalDeck, MachinePresets.WornDeck])
        {
            Assert.Empty(Notices(model));
            Assert.Contains(Notices(model with { RecordLevelControl = new LevelControlModel() }), n => n.Code == "level-control");
        }

        IReadOnlyList<Notice> Notices(MachineModel model)
        {
            var back = new SimulatedMachine(model, 3).Run(send, BenchRun.RateHz);
            var capture = new BenchCapture(back.Channels, BenchRun.RateHz, HowTaken.Rewound, sheet, back.TruthPerChannel[0], sheet.Parts);
            return AutomaticsReader.Read(capture, new MachineFacts(), CancellationToken.None).Notices;
        }
    }

    private static Findings Read(Action<float[][]> machine, double noiseRms) =>
        AutomaticsReader.Read(
            BenchRun.Of(
                ["stairs"],
                channels =>
                {
                    machine(channels);
                    Array.ForEach(channels, c => BenchRun.AddNoise(c, noiseRms, 2));
                }
            ),
            new MachineFacts(),
            CancellationToken.None
        );

    /// <summary>Gain by the law out = slope·in (both in dB against operating level) from an envelope that follows within some milliseconds.</summary>
    private static void Compand(Span<float> channel, double slope, double referenceDb)
    {
        var envelope = 0.0;
        var reference = BenchRun.Operating * Conversions.DbToAmplitude(referenceDb);
        for (var i = 0; i < channel.Length; i++)
        {
            var level = Math.Abs(channel[i]);
            envelope += (level > envelope ? 0.05 : 0.0005) * (level - envelope);
            channel[i] *= (float)Math.Pow(Math.Max(envelope, 1e-5) / reference, slope - 1);
        }
    }
}
