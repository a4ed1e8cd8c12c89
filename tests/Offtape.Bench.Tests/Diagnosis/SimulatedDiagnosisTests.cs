using Offtape.Simulator;

namespace Offtape.Bench.Tests;

/// <summary>Simulated machines with known faults: the fault is among the first that are named, and machines in good order raise none.</summary>
public sealed class SimulatedDiagnosisTests
{
    private const int First = 3;

    // What tells how it runs, reaches, bends and hisses, without what tells it again.
    private static readonly string[] Enough = ["speed", "level", "silence", "stairs-315", "stairs-1000", "sweep-minus20-both"];

    private static Diagnosis Of(MachineModel model, string[] parts, RunOptions? options = null, HowTaken how = HowTaken.Rewound)
    {
        var report = SimulatedMachines.Report(model, 2, how, parts, options);
        return Diagnosing.Of(report.Readings, report.Notices);
    }

    /// <summary>The groups in their order, each by the finding it begins with; a fault is the first of one of the first groups.</summary>
    private static string[] Heads(Diagnosis diagnosis) => [.. diagnosis.Findings.DistinctBy(f => f.Group).Take(First).Select(f => f.Rule)];

    [Theory]
    [InlineData("Typical deck", HowTaken.Rewound)]
    [InlineData("Harbour reel", HowTaken.OffTape)]
    public void A_machine_in_good_order_raises_nothing(string name, HowTaken how)
    {
        var diagnosis = Of(MachinePresets.All.Single(m => m.Name == name), Enough, how: how);
        Assert.Empty(diagnosis.Findings);
        Assert.True(diagnosis.IsEnough);
    }

    [Fact]
    public void A_worn_deck_is_told_what_may_be_behind_each_of_its_faults()
    {
        var diagnosis = Of(MachinePresets.WornDeck, Enough);
        var rules = diagnosis.Findings.Select(f => f.Rule).ToArray();
        // 0.5 % of wow and flutter, 9 kHz, 40 dB, 45 µs and 6 µs, 6 dropouts a minute, 0.8 % second harmonic, hum of −50 dB: all of the preset.
        foreach (
            var rule in new[] { "unsteady", "azimuth", "dirty-head", "hiss", "azimuth-wander", "dropouts", "magnetised", "earth-loop" }
        )
            Assert.Contains(rule, rules);
        Assert.DoesNotContain("noise-reduction", rules);
        Assert.All(diagnosis.Findings, f => Assert.InRange(f.Confidence, 0, 0.9));
        Assert.Equal("azimuth", diagnosis.Findings.First(f => f.Group == "treble").Rule);
    }

    public static TheoryData<string> Faults => [.. Made.Keys];

    private static MachineModel Deck => MachinePresets.TypicalDeck;

    private static readonly Dictionary<string, (Func<MachineModel> Model, string[] Parts, RunOptions? Options)> Made = new(
        StringComparer.Ordinal
    )
    {
        ["hum-field"] = (() => Deck with { Noise = Deck.Noise with { HumDb = -42 } }, ["level", "silence"], null),
        ["dirty-head"] = (
            () =>
                Deck with
                {
                    Sound = Deck.Sound with { TrebleLimitHz = 7000 },
                    Tracks = Deck.Tracks with { InterChannelDelayMicroseconds = 0, DelayWanderMicroseconds = 0.5 },
                },
            ["level", "silence", "sweep-minus20-both", "sweep-minus20-left", "sweep-minus20-right"],
            null
        ),
        ["weak-channel"] = (() => Deck with { Tracks = Deck.Tracks with { BalanceDb = -5 } }, ["level", "silence"], null),
        ["channels-swapped"] = (
            () => Deck,
            ["level", "silence", "sweep-minus20-both", "sweep-minus20-left", "sweep-minus20-right"],
            new RunOptions { AreChannelsSwapped = true }
        ),
        ["both-inverted"] = (() => Deck, ["polarity", "level"], new RunOptions { IsPolarityInverted = true }),
        ["hiss"] = (() => Deck with { Noise = Deck.Noise with { SignalToNoiseDb = 36 } }, ["level", "silence"], null),
        ["level-control"] = (
            () => Deck with { RecordLevelControl = new LevelControlModel() },
            ["level", "stairs-315", "stairs-1000"],
            null
        ),
        ["low-output"] = (() => Deck, ["level", "silence"], new RunOptions { CaptureGainDb = -14 }),
        ["full-early"] = (() => Deck with { Sound = Deck.Sound with { MaximumOutputLevelDb = 0.3 } }, ["level", "stairs-315"], null),
        ["crosstalk"] = (
            () => Deck with { Tracks = Deck.Tracks with { CrosstalkDb = -20 } },
            ["level", "silence", "sweep-minus20-both", "sweep-minus20-left", "sweep-minus20-right"],
            null
        ),
        ["unsteady"] = (() => Deck with { Transport = Deck.Transport with { WowFlutterPercent = 0.6 } }, ["speed", "level"], null),
        ["magnetised"] = (() => Deck with { Sound = Deck.Sound with { SecondHarmonicPercent = 1.5 } }, ["level", "stairs-315"], null),
    };

    [Theory, MemberData(nameof(Faults))]
    public void A_fault_that_was_made_is_among_the_first_that_are_named(string rule)
    {
        var (model, parts, options) = Made[rule];
        var diagnosis = Of(model(), parts, options);
        // A rival of its group may stand before it where readings cannot tell them apart; the group is among the first.
        Assert.Contains(
            diagnosis.Findings.Where(f => Heads(diagnosis).Any(h => Same(diagnosis, h, f))).Select(f => f.Rule),
            r => r == rule
        );
    }

    private static bool Same(Diagnosis diagnosis, string head, DiagnosisFinding finding) =>
        diagnosis.Findings.First(f => f.Rule == head).Group == finding.Group;
}
