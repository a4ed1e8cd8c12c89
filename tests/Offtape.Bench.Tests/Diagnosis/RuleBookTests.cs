using Offtape.Base;
using Offtape.Simulator;

namespace Offtape.Bench.Tests;

/// <summary>The rules as data: whole, in order, with cautions where they belong, and each with a case that raises it and cases that do not.</summary>
public sealed class RuleBookTests
{
    private static readonly Notice[] NoNotices = [];

    private static readonly string[] Parts =
    [
        "polarity",
        "level",
        "speed",
        "silence",
        "stairs-315",
        "sweep-minus20-both",
        "sweep-minus20-left",
        "sweep-minus20-right",
        "erasure",
    ];

    // What raises each rule: the figures alone, without uncertainty.
    private static readonly Dictionary<string, Reading[]> Raised = new(StringComparer.Ordinal)
    {
        ["dirty-head"] = [Treble(1, 9000), Treble(2, 9100)],
        ["azimuth"] = [Treble(1, 9000), Read("interChannelDelay", 40, "µs"), Read("lossLikelihood", 95, "%", 1, "azimuth")],
        ["worn-gap"] = [Treble(1, 9000), Read("lossLikelihood", 80, "%", 1, "gap")],
        ["bias-or-type"] = [Treble(1, 9000), Read("lossLikelihood", 80, "%", 1, "thickness")],
        ["underbias"] = [Read("trebleLoss", -4, "dB", 1, "top of the band"), Read("thirdHarmonic", 4, "%", 1, "315 Hz, 0 dB")],
        ["equalisation-mixed"] = [Read("equalisationMixUp", 96, "%", 1, "recorded with 120 µs, replayed with 70 µs")],
        ["weak-channel"] = [Read("balance", -4, "dB", null, "1 kHz, 0 dB")],
        ["unsteady"] = [Read("weightedTwoSigma", 0.3, "%")],
        ["capstan"] = [Read("weightedTwoSigma", 0.3, "%"), Read("turningPart", 70, "%", null, "capstan")],
        ["pinch-roller"] = [Read("weightedTwoSigma", 0.3, "%"), Read("turningPart", 70, "%", null, "pinch roller")],
        ["idler-or-belt"] = [Read("weightedTwoSigma", 0.3, "%"), Read("turningPart", 70, "%", null, "belt")],
        ["hub"] = [Read("weightedTwoSigma", 0.3, "%"), Read("turningPart", 70, "%", null, "hub with its tape")],
        ["runs-fast"] = [Read("speedError", 2.5, "%")],
        ["runs-slow"] = [Read("speedError", -2.5, "%")],
        ["drift"] = [Read("drift", -0.5, "%")],
        ["hiss"] = [Read("signalToNoiseAWeighted", 40, "dB", 1)],
        ["magnetised"] = [Read("secondHarmonic", 0.9, "%", 1, "315 Hz, 0 dB")],
        ["earth-loop"] = [Read("hum", -40, "dB", 1, "recorded silence")],
        ["hum-field"] = [Read("hum", -40, "dB", 1, "recorded silence")],
        ["hum-supply"] = [Read("hum", -40, "dB", 1, "recorded silence")],
        ["dropouts"] = [Read("dropoutsPerMinute", 9, "/min", 1, "3 dB and deeper")],
        ["weak-erasure"] = [Read("erasure", -45, "dB", 1, "1 kHz")],
        ["azimuth-wander"] = [Read("interChannelDelayWander", 8, "µs")],
        ["modulation-noise"] = [Read("modulationNoise", -40, "dB", 1, "100 Hz to 1000 Hz beside 3150 Hz")],
        ["channels-swapped"] = [Read("channelsSwapped", 1, "")],
        ["polarity"] = [Read("relativePolarity", -1, "")],
        ["both-inverted"] = [Read("polarity", -1, "", 1), Read("relativePolarity", 1, "")],
        ["low-output"] = [Read("pathGain", -12, "dB", 1, "1 kHz, 0 dB")],
        ["full-early"] = [Read("maximumOutputLevel", -2, "dB", 1, "315 Hz")],
        ["crosstalk"] = [Read("crosstalk", -18, "dB", null, "1 into 2, 1 kHz")],
    };

    private static readonly Dictionary<string, Notice> RaisedByNotice = new(StringComparer.Ordinal)
    {
        ["level-control"] = new("level-control", "on"),
        ["noise-reduction"] = new("noise-reduction", "on"),
    };

    /// <summary>The same quantities of a machine in good order, of usual size.</summary>
    private static readonly Reading[] Healthy =
    [
        Treble(1, 15_000),
        Treble(2, 14_800),
        Read("interChannelDelay", 4, "µs"),
        Read("interChannelDelayWander", 1.5, "µs"),
        Read("trebleLoss", 3, "dB", 1, "top of the band"),
        Read("lossLikelihood", 95, "%", 1, "azimuth"),
        Read("thirdHarmonic", 1, "%", 1, "315 Hz, 0 dB"),
        Read("secondHarmonic", 0.2, "%", 1, "315 Hz, 0 dB"),
        Read("asymmetry", 0.02, "dB", 1, "315 Hz, 0 dB"),
        Read("equalisationMixUp", 10, "%", 1),
        Read("balance", 0.4, "dB", null, "1 kHz, 0 dB"),
        Read("weightedTwoSigma", 0.1, "%"),
        Read("turningPart", 90, "%", null, "capstan"),
        Read("speedError", 0.4, "%"),
        Read("drift", 0.05, "%"),
        Read("signalToNoiseAWeighted", 52, "dB", 1),
        Read("responseSpread", 1, "dB", 1, "−20 dB"),
        Read("hum", -72, "dB", 1, "recorded silence"),
        Read("dropoutsPerMinute", 0, "/min", 1, "3 dB and deeper"),
        Read("erasure", -68, "dB", 1, "1 kHz"),
        Read("modulationNoise", -53, "dB", 1, "100 Hz to 1000 Hz beside 3150 Hz"),
        Read("channelsSwapped", 0, ""),
        Read("relativePolarity", 1, ""),
        Read("polarity", 1, "", 1),
        Read("pathGain", -0.4, "dB", 1, "1 kHz, 0 dB"),
        Read("maximumOutputLevel", 5, "dB", 1, "315 Hz"),
        Read("crosstalk", -45, "dB", null, "1 into 2, 1 kHz"),
    ];

    public static TheoryData<string> Rules => [.. RuleBook.Own.Rules.Select(r => r.Id)];

    private static Reading Read(string quantity, double value, string unit, int? channel = null, string at = "") =>
        BenchReportTests.Read(quantity, value, null, unit, channel, at);

    private static Reading Treble(int channel, double hz) => Read("trebleLimit", hz, "Hz", channel, "−20 dB");

    private static DiagnosisFinding? Find(string rule, IReadOnlyList<Reading> readings, IReadOnlyList<Notice> notices) =>
        Diagnosing.Of(readings, notices).Findings.FirstOrDefault(f => f.Rule == rule);

    [Theory, MemberData(nameof(Rules))]
    public void A_rule_is_raised_by_its_figures_and_by_nothing_less(string rule)
    {
        if (RaisedByNotice.TryGetValue(rule, out var notice))
        {
            Assert.NotNull(Find(rule, Healthy, [notice]));
            Assert.Null(Find(rule, Healthy, [notice with { Code = "another" }]));
            return;
        }
        var raised = Raised[rule];
        var finding = Find(rule, raised, NoNotices);
        Assert.NotNull(finding);
        Assert.InRange(finding.Confidence, 0.01, 0.95);
        Assert.NotEmpty(finding.Seen);
        Assert.Null(Find(rule, Healthy, NoNotices));
        // The same figures, so unsure that the limit lies within reach of them.
        Assert.Null(Find(rule, [.. raised.Select(r => r with { Uncertainty = 1e6 })], NoNotices));
    }

    [Fact]
    public void A_machine_in_good_order_is_left_alone_and_one_that_was_hardly_read_is_not_called_healthy()
    {
        var diagnosis = Diagnosing.Of(Healthy, NoNotices);
        Assert.Empty(diagnosis.Findings);
        Assert.True(diagnosis.IsEnough);
        Assert.Contains("leave it as it is", diagnosis.Summary, StringComparison.Ordinal);
        var little = Diagnosing.Of([Read("balance", 0, "dB", null, "1 kHz, 0 dB")], NoNotices);
        Assert.False(little.IsEnough);
        Assert.Contains("too little", little.Summary, StringComparison.Ordinal);
    }

    /// <summary>Evidence by odds: 0.3 is 3 to 7; six times that, and half as much again, is 27 to 7, by hand.</summary>
    [Fact]
    public void Evidence_multiplies_odds_and_rivals_are_never_surer_than_one_may_be()
    {
        var azimuth = Diagnosing.Of(Raised["azimuth"], NoNotices).Findings.Where(f => f.Group == "treble").ToArray();
        Assert.Equal("azimuth", azimuth[0].Rule);
        Assert.True(azimuth.Sum(f => f.Confidence) <= 0.902, $"{azimuth.Sum(f => f.Confidence)}");
        // Without rivals of its group: hiss alone is 1 to 1, with even harmonics 1.5 to 1.
        Assert.Equal(0.5, Find("hiss", Raised["hiss"], NoNotices)!.Confidence, 3);
        Assert.Equal(0.6, Find("hiss", [.. Raised["hiss"], .. Raised["magnetised"]], NoNotices)!.Confidence, 3);
    }

    [Fact]
    public void A_hidden_figure_whose_limit_is_low_enough_holds_a_test_for_less()
    {
        var hidden = Read("trebleLoss", 0, "dB", 1) with { Value = null, AtMost = -3, Reason = "hidden" };
        Assert.NotNull(Find("underbias", [hidden, .. Raised["underbias"].Skip(1)], NoNotices));
        Assert.Null(Find("underbias", [hidden with { AtMost = -1 }, .. Raised["underbias"].Skip(1)], NoNotices));
    }

    [Fact]
    public void Every_rule_is_whole()
    {
        var book = RuleBook.Own;
        Assert.Equal(book.Rules.Count, book.Rules.Select(r => r.Id).Distinct().Count());
        Assert.Equal(
            book.Rules.Select(r => r.Id).Order(StringComparer.Ordinal),
            Raised.Keys.Concat(RaisedByNotice.Keys).Order(StringComparer.Ordinal)
        );
        foreach (var rule in book.Rules)
        {
            Assert.True(rule.Likely is > 0 and < 1, rule.Id);
            Assert.NotEmpty(rule.Try);
            Assert.NotEmpty(rule.Reason);
            Assert.NotEmpty(rule.Source);
            Assert.True(rule.All.Count + rule.Any.Count > 0, rule.Id);
            // Least invasive first.
            Assert.True(rule.Try.Select(s => s.Reach).SequenceEqual(rule.Try.Select(s => s.Reach).Order()), rule.Id);
            foreach (var step in rule.Try)
            {
                Assert.InRange(step.Reach, 1, 4);
                Assert.True(step.Caution is null || book.Cautions.ContainsKey(step.Caution), $"{rule.Id}: {step.Caution}");
                // What is behind the covers, what is wiped, demagnetised, turned or recorded over has its caution beside it.
                var wants =
                    step.Reach >= 2
                    || step.Do.Contains("Record", StringComparison.Ordinal)
                    || step.Do.Contains("tone", StringComparison.Ordinal) && step.Do.Contains("ine", StringComparison.Ordinal);
                Assert.True(!wants || step.Caution is not null, $"{rule.Id}: {step.Do}");
                if (step.Do.Contains("lean ", StringComparison.Ordinal) && step.Reach == 2)
                    Assert.Equal("solvent", step.Caution);
                if (step.Do.Contains("emagnetise", StringComparison.Ordinal))
                    Assert.Equal("magnet", step.Caution);
                if (step.Reach == 4)
                    Assert.Contains(step.Caution, new[] { "inside", "angle" });
            }
            foreach (var test in Tests(rule))
            {
                double?[] limits = [test.Below, test.Above, test.SizeAbove, test.SizeBelow, test.ApartAbove, test.RatioAbove];
                Assert.Equal(test.Notice is null ? 1 : 0, limits.Count(l => l is not null));
                Assert.Equal(test.Notice is null, test.Quantity is not null);
            }
        }
        Assert.All(book.Cautions.Keys, c => Assert.Contains(book.Rules.SelectMany(r => r.Try), s => s.Caution == c));
    }

    /// <summary>A misspelt field of a rule would be a rule that never holds: it is refused.</summary>
    [Fact]
    public void A_field_that_there_is_not_is_refused() =>
        Assert.Throws<System.Text.Json.JsonException>(() =>
            RuleBook.Parse(
                """{"formatVersion":1,"cautions":{},"rules":[{"id":"a","group":"a","finding":"a","al":[],"likely":0.5,"reason":"a","try":[],"source":"a"}]}"""u8
            )
        );

    /// <summary>Rules ask for what readings are really called, by quantity and condition: those of a whole check signal on a simulated machine.</summary>
    [Fact]
    public void Every_quantity_that_a_rule_asks_for_is_one_that_is_read()
    {
        var report = SimulatedMachines.Report(MachinePresets.WornDeck, 1, HowTaken.Rewound, Parts);
        foreach (var test in RuleBook.Own.Rules.SelectMany(Tests).Where(t => t.Quantity is not null))
        {
            // Parts that this machine does not have stand under names of their own.
            var at = test.Quantity == "turningPart" ? null : test.At;
            Assert.True(
                report.Readings.Any(r => r.Quantity == test.Quantity && (at is null || r.Condition.Contains(at, StringComparison.Ordinal))),
                $"{test.Quantity}, {test.At}"
            );
        }
        string[] parts = [.. Enum.GetValues<TurningPart>().Select(PartNames.Of)];
        foreach (var test in RuleBook.Own.Rules.SelectMany(Tests).Where(t => t.Quantity == "turningPart"))
            Assert.Contains(test.At, parts);
    }

    private static IEnumerable<RuleTest> Tests(DiagnosisRule rule) =>
        [.. rule.All, .. rule.Any, .. rule.None, .. rule.Evidence.SelectMany(e => e.All)];
}
