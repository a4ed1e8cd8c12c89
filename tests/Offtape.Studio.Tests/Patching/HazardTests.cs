namespace Offtape.Studio.Tests;

/// <summary>Every hazard is told where it is, and not where it is not.</summary>
public sealed class HazardTests
{
    private const string TsToRca = "\"a\": \"ts-rca\"";

    /// <summary>For each code a rig in which it is, and one as like as can be in which it is not.</summary>
    private static IReadOnlyDictionary<string, (Func<IReadOnlyList<Hazard>> With, Func<IReadOnlyList<Hazard>> Without)> Cases { get; } =
        new Dictionary<string, (Func<IReadOnlyList<Hazard>>, Func<IReadOnlyList<Hazard>>)>
        {
            [HazardCode.SpeakerIntoLine] = (
                () =>
                    Wired(
                        "line-in:ts:1",
                        "speaker-out:speaker:1",
                        "\"a\": \"wire-ts\"",
                        "deck: speaker out > a: 0",
                        "a: 1 > interface: line in"
                    ),
                () => Wired("line-in:ts:1", "line-out:rca:1", TsToRca, "interface: line in > a: 0", "a: 1 > deck: line out")
            ),
            [HazardCode.PhantomTowardsOutput] = (
                () =>
                    Wired(
                        "mic-in:xlr:1:phantom-on",
                        "line-out:rca:1",
                        "\"a\": \"rca-xlrm\", \"p\": \"pad20-xlr\"",
                        "deck: line out > a: 0",
                        "a: 1 > p: 0",
                        "p: 1 > interface: mic in"
                    ),
                () =>
                    Wired(
                        "mic-in:xlr:1:phantom-on",
                        "line-out:rca:1",
                        "\"a\": \"rca-xlrm\", \"p\": \"pad40-xlr\"",
                        "deck: line out > a: 0",
                        "a: 1 > p: 0",
                        "p: 1 > interface: mic in"
                    )
            ),
            [HazardCode.HowlRound] = (() => Monitored(1), () => Monitored(2)),
            [HazardCode.DinRecordTooHot] = (
                () =>
                    Wired(
                        "line-out:rca:2",
                        "tape-din:din5:2",
                        "\"a\": \"din5-2rca-record\"",
                        "interface: line out 1 > a: 1",
                        "interface: line out 2 > a: 2",
                        "a: 0 > deck: tape din"
                    ),
                () =>
                    Wired(
                        "line-out:rca:2",
                        "tape-din:din5:2",
                        "\"a\": \"din5-2rca-record-pad\"",
                        "interface: line out 1 > a: 1",
                        "interface: line out 2 > a: 2",
                        "a: 0 > deck: tape din"
                    )
            ),
            [HazardCode.DinCurrentIntoLine] = (
                () =>
                    Wired(
                        "amp-din:din5:2",
                        "line-in:rca:2:ohms=10k",
                        "\"a\": \"din5-2rca-record\"",
                        "interface: amp din > a: 0",
                        "a: 1 > deck: line in 1",
                        "a: 2 > deck: line in 2"
                    ),
                () =>
                    Wired("amp-din:din5:2", "tape-din:din5:2", "\"a\": \"din5-din5\"", "interface: amp din > a: 0", "a: 1 > deck: tape din")
            ),
            [HazardCode.LineIntoMicrophone] = (
                () => Wired("line-out:ts:1", "mic-in:mini:1", "\"a\": \"mini-ts\"", "interface: line out > a: 1", "a: 0 > deck: mic in"),
                () =>
                    Wired(
                        "line-out:ts:1",
                        "mic-in:mini:1",
                        "\"a\": \"ts-ts\", \"p\": \"pad40-ts-mini\"",
                        "interface: line out > a: 0",
                        "a: 1 > p: 0",
                        "p: 1 > deck: mic in"
                    )
            ),
            [HazardCode.TooHot] = (
                () =>
                    Wired(
                        "instrument-in:ts:1",
                        "line-out:ts:1:+4",
                        "\"a\": \"ts-ts\"",
                        "deck: line out > a: 0",
                        "a: 1 > interface: instrument in"
                    ),
                () =>
                    Wired(
                        "instrument-in:ts:1",
                        "line-out:ts:1:-10",
                        "\"a\": \"ts-ts\"",
                        "deck: line out > a: 0",
                        "a: 1 > interface: instrument in"
                    )
            ),
            [HazardCode.TooWeak] = (
                () =>
                    Wired(
                        "line-in:ts:1",
                        "line-out:ts:1:level=2mV",
                        "\"a\": \"ts-ts\"",
                        "deck: line out > a: 0",
                        "a: 1 > interface: line in"
                    ),
                () =>
                    Wired(
                        "line-in:ts:1",
                        "line-out:ts:1:level=300mV",
                        "\"a\": \"ts-ts\"",
                        "deck: line out > a: 0",
                        "a: 1 > interface: line in"
                    )
            ),
            [HazardCode.LevelMismatch] = (
                () => Wired("line-out:ts:1:+4", "line-in:rca:1:-10", TsToRca, "interface: line out > a: 0", "a: 1 > deck: line in"),
                () => Wired("line-out:ts:1:-10", "line-in:rca:1:-10", TsToRca, "interface: line out > a: 0", "a: 1 > deck: line in")
            ),
            [HazardCode.AutomaticLevel] = (
                () => Planned("line-out:ts:1", "mic-in:mini:1:alc"),
                () => Planned("line-out:ts:1", "mic-in:mini:1")
            ),
            [HazardCode.PlugInPower] = (
                () =>
                    Wired(
                        "headphone-out:mini-trs:2",
                        "mic-in:mini-trs:2:plug-in-power",
                        "\"a\": \"mini-trs-mini-trs\"",
                        "interface: headphone out > a: 0",
                        "a: 1 > deck: mic in"
                    ),
                () =>
                    Wired(
                        "line-out:ts:1",
                        "mic-in:mini:1:plug-in-power",
                        "\"a\": \"ts-ts\", \"p\": \"pad40-ts-mini\"",
                        "interface: line out > a: 0",
                        "a: 1 > p: 0",
                        "p: 1 > deck: mic in"
                    )
            ),
            [HazardCode.BalancedIntoUnbalanced] = (
                () => Wired("line-out:trs:1", "line-in:rca:1", TsToRca, "interface: line out > a: 0", "a: 1 > deck: line in"),
                () => Wired("line-out:trs:1", "line-in:trs:1", "\"a\": \"trs-trs\"", "interface: line out > a: 0", "a: 1 > deck: line in")
            ),
            [HazardCode.FloatingColdOpen] = (
                () =>
                    Wired(
                        "line-out:trs:1:floating",
                        "line-in:rca:1",
                        "\"a\": \"trs-rca-open\"",
                        "interface: line out > a: 0",
                        "a: 1 > deck: line in"
                    ),
                () => Wired("line-out:trs:1:floating", "line-in:rca:1", TsToRca, "interface: line out > a: 0", "a: 1 > deck: line in")
            ),
            [HazardCode.ColdLeftOpen] = (
                () =>
                    Wired(
                        "line-in:trs:1",
                        "line-out:rca:1",
                        "\"a\": \"trs-rca-open\"",
                        "interface: line in > a: 0",
                        "a: 1 > deck: line out"
                    ),
                () => Wired("line-in:trs:1", "line-out:rca:1", "\"a\": \"rca-trs\"", "interface: line in > a: 1", "a: 0 > deck: line out")
            ),
            [HazardCode.UnbalancedIntoBalanced] = (
                () => Wired("line-in:trs:1", "line-out:rca:1", "\"a\": \"rca-trs\"", "interface: line in > a: 1", "a: 0 > deck: line out"),
                () => Wired("line-in:ts:1", "line-out:rca:1", TsToRca, "interface: line in > a: 0", "a: 1 > deck: line out")
            ),
            [HazardCode.GroundNotJoined] = (() => Grounded("\"0.tip=1.tip\""), () => Grounded("\"0.tip=1.tip\", \"0.sleeve=1.sleeve\"")),
            [HazardCode.EarthLoop] = (() => Earthed("\"a\": \"ts-rca\"", true), () => Earthed("\"a\": \"ts-rca\"", false)),
            [HazardCode.EarthLifted] = (() => Device("\"earthLifted\": true"), () => Device("\"safetyEarth\": true")),
            [HazardCode.LiveChassis] = (() => Device("\"liveChassis\": true"), () => Device("\"liveChassis\": false")),
            [HazardCode.RecordReplaySwapped] = (
                () =>
                    Wired(
                        "line-out:rca:2",
                        "tape-din:din5:2",
                        "\"a\": \"din5-2rca-replay\"",
                        "interface: line out 1 > a: 1",
                        "interface: line out 2 > a: 2",
                        "a: 0 > deck: tape din"
                    ),
                () =>
                    Wired(
                        "line-in:rca:2",
                        "tape-din:din5:2",
                        "\"a\": \"din5-2rca-replay\"",
                        "interface: line in 1 > a: 1",
                        "interface: line in 2 > a: 2",
                        "a: 0 > deck: tape din"
                    )
            ),
            [HazardCode.OutputsJoined] = (
                () => Wired("line-out:ts:1", "line-out:rca:1", TsToRca, "interface: line out > a: 0", "a: 1 > deck: line out"),
                () => Wired("line-out:ts:1", "line-in:rca:1", TsToRca, "interface: line out > a: 0", "a: 1 > deck: line in")
            ),
            [HazardCode.OutputShorted] = (
                () => Grounded("\"0.tip=1.tip\", \"0.tip=1.sleeve\", \"0.sleeve=1.sleeve\""),
                () => Grounded("\"0.tip=1.tip\", \"0.sleeve=1.sleeve\"")
            ),
            [HazardCode.MonoPlugInStereoSocket] = (
                () => Wired("headphone-out:trs:2", "line-in:rca:2", TsToRca, "interface: headphone out > a: 0", "a: 1 > deck: line in 1"),
                () =>
                    Wired(
                        "headphone-out:trs:2",
                        "line-in:rca:2",
                        "\"a\": \"trs-2rca\"",
                        "interface: headphone out > a: 0",
                        "a: 1 > deck: line in 1",
                        "a: 2 > deck: line in 2"
                    )
            ),
            [HazardCode.ChannelsCrossed] = (
                () =>
                    Wired(
                        "line-out:ts:2",
                        "line-in:rca:2",
                        "\"a\": \"2ts-2rca\"",
                        "interface: line out 1 > a: 0",
                        "interface: line out 2 > a: 1",
                        "a: 2 > deck: line in 2",
                        "a: 3 > deck: line in 1"
                    ),
                () =>
                    Wired(
                        "line-out:ts:2",
                        "line-in:rca:2",
                        "\"a\": \"2ts-2rca\"",
                        "interface: line out 1 > a: 0",
                        "interface: line out 2 > a: 1",
                        "a: 2 > deck: line in 1",
                        "a: 3 > deck: line in 2"
                    )
            ),
            [HazardCode.PolarityTurned] = (() => Turned("\"0.tip=1.3\", \"0.ring=1.2\""), () => Turned("\"0.tip=1.2\", \"0.ring=1.3\"")),
            [HazardCode.DoesNotFit] = (
                () =>
                    Wired(
                        "amp-din:din5:2",
                        "tape-din:din-5-240:2",
                        "\"a\": \"din5-din5\"",
                        "interface: amp din > a: 0",
                        "a: 1 > deck: tape din"
                    ),
                () =>
                    Wired(
                        "amp-din:din5:2",
                        "tape-din:din-5-180:2",
                        "\"a\": \"din5-din5\"",
                        "interface: amp din > a: 0",
                        "a: 1 > deck: tape din"
                    )
            ),
            [HazardCode.Loading] = (
                () => Wired("line-in:ts:1:ohms=600", "line-out:rca:1", TsToRca, "interface: line in > a: 0", "a: 1 > deck: line out"),
                () => Wired("line-in:ts:1:ohms=47k", "line-out:rca:1", TsToRca, "interface: line in > a: 0", "a: 1 > deck: line out")
            ),
            [HazardCode.HighImpedanceLead] = (
                () =>
                    Wired(
                        "amp-din:din5:2",
                        "tape-din:din5:2",
                        "\"a\": \"din5-din5\"",
                        "interface: amp din > a: 0",
                        "a: 1 > deck: tape din"
                    ),
                () =>
                    Wired(
                        "line-out:rca:2",
                        "tape-din:din5:2",
                        "\"a\": \"din5-2rca-record-pad\"",
                        "interface: line out 1 > a: 1",
                        "interface: line out 2 > a: 2",
                        "a: 0 > deck: tape din"
                    )
            ),
            [HazardCode.TooFewSockets] = (
                () => Planned("line-out:ts:2;line-in:ts:4", "line-in:ts:4;line-out:ts:4"),
                () => Planned("line-out:ts:4;line-in:ts:4", "line-in:ts:4;line-out:ts:4")
            ),
            [HazardCode.NoWay] = (
                () => Planned("line-in:ts:2", "speaker-out:posts:2"),
                () => Planned("line-in:ts:2;line-out:ts:2", "line-out:rca:2;line-in:rca:2")
            ),
        };

    public static TheoryData<string> Codes => [.. HazardCode.All];

    [Theory, MemberData(nameof(Codes))]
    public void It_is_told_where_it_is(string code)
    {
        var found = Cases[code].With().Where(h => h.Code == code).ToArray();
        Assert.NotEmpty(found);
        Assert.All(found, h => Assert.True(h.Reason.Length > 20 && h.Advice.Length > 10, $"{h.Reason} {h.Advice}"));
    }

    [Theory, MemberData(nameof(Codes))]
    public void It_is_not_told_where_it_is_not(string code) => Assert.DoesNotContain(Cases[code].Without(), h => h.Code == code);

    [Fact]
    public void A_plan_that_was_made_here_earns_no_refusal()
    {
        foreach (
            var machine in new[]
            {
                "line-in:rca:2;line-out:rca:2",
                "tape-din:din5:2",
                "tape-din:din3:1",
                "mic-in:mini:1:alc:plug-in-power;headphone-out:mini-trs:2",
            }
        )
        {
            var plan = PatchPlanner.Plan(
                Rigs.Of("line-out:trs:4;line-in:trs:4", machine, deskMore: "\"safetyEarth\": true", machineMore: "\"safetyEarth\": true")
            );
            Assert.True(
                plan.IsWhole,
                $"{machine}: {string.Join(" | ", plan.Hazards.Where(h => h.Severity == Severity.Refuse).Select(h => h.Code + " " + h.Reason))}"
            );
        }
    }

    /// <summary>A loop through the ground is opened by a transformer, never by taking the earth off.</summary>
    [Fact]
    public void No_advice_takes_a_safety_earth_off()
    {
        var loop = Earthed("\"a\": \"ts-rca\"", true).Single(h => h.Code == HazardCode.EarthLoop);
        Assert.Contains("transformer", loop.Advice, StringComparison.Ordinal);
        Assert.Contains("Never take the safety earth off", loop.Advice, StringComparison.Ordinal);
        var isolated = Wired(
            Rigs.Of(
                "line-out:ts:1",
                "line-in:rca:1",
                Rigs.Wired("\"a\": \"ts-rca\", \"t\": \"iso-rca\"", "interface: line out > a: 0", "a: 1 > t: 0", "t: 1 > deck: line in"),
                "\"safetyEarth\": true",
                "\"safetyEarth\": true"
            )
        );
        Assert.DoesNotContain(isolated, h => h.Code == HazardCode.EarthLoop);
    }

    private static IReadOnlyList<Hazard> Wired(string desk, string machine, string pieces, params string[] joins) =>
        Wired(Rigs.Of(desk, machine, Rigs.Wired(pieces, joins)));

    private static IReadOnlyList<Hazard> Wired(Rig rig) => PatchCheck.Examine(rig, rig.Wired).Hazards;

    private static IReadOnlyList<Hazard> Planned(string desk, string machine) => PatchPlanner.Plan(Rigs.Of(desk, machine)).Hazards;

    private static IReadOnlyList<Hazard> Monitored(int output) =>
        PatchPlanner
            .Plan(
                Rigs.Of(
                    "line-out:ts:2;line-in:ts:2",
                    "line-in:rca:1;line-out:rca:1",
                    $$""" "monitoring": [{ "input": 1, "output": {{output}} }]"""
                )
            )
            .Hazards;

    private static IReadOnlyList<Hazard> Earthed(string pieces, bool machineToo) =>
        Wired(
            Rigs.Of(
                "line-out:ts:1",
                "line-in:rca:1",
                Rigs.Wired(pieces, "interface: line out > a: 0", "a: 1 > deck: line in"),
                "\"safetyEarth\": true",
                $"\"safetyEarth\": {(machineToo ? "true" : "false")}"
            )
        );

    private static IReadOnlyList<Hazard> Device(string more) =>
        Wired(
            Rigs.Of("line-out:ts:1", "line-in:rca:1", Rigs.Wired(TsToRca, "interface: line out > a: 0", "a: 1 > deck: line in"), "", more)
        );

    private static IReadOnlyList<Hazard> Grounded(string wires) =>
        Wired(
            Rigs.Of(
                "line-out:ts:1",
                "line-in:rca:1",
                $$""" "parts": [{ "id": "own", "words": "own lead", "ends": ["ts plug", "rca plug"], "wires": [{{wires}}] }], {{Rigs.Wired("\"a\": \"own\"", "interface: line out > a: 0", "a: 1 > deck: line in")}}"""
            )
        );

    private static IReadOnlyList<Hazard> Turned(string wires) =>
        Wired(
            Rigs.Of(
                "line-out:trs:1",
                "line-in:xlr:1",
                $$""" "parts": [{ "id": "own", "words": "own lead", "ends": ["trs plug", "xlr plug"], "wires": [{{wires}}, "0.sleeve=1.1"] }], {{Rigs.Wired("\"a\": \"own\"", "interface: line out > a: 0", "a: 1 > deck: line in")}}"""
            )
        );
}
