namespace Offtape.Studio.Tests;

/// <summary>Whole patches: every channel there and back, out of the drawer first, and what is missing.</summary>
public sealed class PlanTests
{
    private const string Desk = "line-out:ts:8;line-in:ts:8";

    [Theory]
    [InlineData("line-in:rca:2;line-out:rca:2", 2, 2)]
    [InlineData("line-in:rca:1;line-out:rca:1", 1, 2)]
    [InlineData("line-in:ts:8:-10;line-out:ts:8:-10", 8, 8)]
    [InlineData("line-in:rca:4;line-out:rca:4", 4, 4)]
    [InlineData("tape-din:din5:2", 2, 5)]
    [InlineData("tape-din:din3:1", 1, 3)]
    [InlineData("line-in:mini-trs:2;headphone-out:mini-trs:2", 2, 2)]
    public void Every_channel_goes_there_and_back_in_its_order(string machine, int channels, int pieces)
    {
        var plan = PatchPlanner.Plan(Rigs.Of(Desk, machine));
        Assert.True(plan.IsWhole, string.Join(" ", plan.Hazards.Select(h => h.Code)));
        Assert.Equal(pieces, plan.Wiring.Pieces.Count);
        foreach (var isThere in new[] { true, false })
        {
            var lanes = plan.Lanes.Where(l => l.SourceDevice == plan.Rig.Interface == isThere).OrderBy(l => l.Source.Channel).ToArray();
            Assert.Equal(Enumerable.Range(1, channels), lanes.Select(l => l.Source.Channel));
            Assert.Equal(Enumerable.Range(1, channels), lanes.Select(l => l.Sink.Channel));
        }
        Assert.DoesNotContain(plan.Hazards, h => h.Code == HazardCode.ChannelsCrossed);
    }

    /// <summary>One pair lies there; of two equal ways the one that is there is taken, and the other pair is bought.</summary>
    [Fact]
    public void What_lies_in_the_drawer_is_taken_and_the_rest_is_on_the_list()
    {
        var plan = PatchPlanner.Plan(
            Rigs.Of(Desk, "line-in:rca:2;line-out:rca:2", "\"drawer\": { \"2ts-2rca\": 1 }, \"prices\": { \"2ts-2rca\": 8.5 }")
        );
        Assert.Equal([true, false], plan.Wiring.Pieces.Select(p => p.IsInDrawer).OrderDescending());
        var item = Assert.Single(plan.Shopping);
        Assert.Equal(("2ts-2rca", 1, 8.5m), (item.Type.Id, item.Count, item.PriceEach));
    }

    /// <summary>Four leads and four adapters do what two pairs would; one adapter fewer does not.</summary>
    [Theory]
    [InlineData(4, true)]
    [InlineData(3, false)]
    public void With_the_drawer_alone_it_is_done_or_told(int adapters, bool canBeDone)
    {
        var plan = PatchPlanner.Plan(
            Rigs.Of(Desk, "line-in:rca:2;line-out:rca:2", $"\"drawer\": {{ \"rca-rca\": 4, \"rcaf-ts\": {adapters} }}"),
            onlyDrawer: true
        );
        Assert.Equal(canBeDone, plan.IsWhole);
        Assert.Equal(canBeDone ? 8 : 4, plan.Wiring.Pieces.Count);
        Assert.Empty(plan.Shopping);
        Assert.Equal(!canBeDone, plan.Hazards.Any(h => h.Code == HazardCode.NoWay));
    }

    [Fact]
    public void Line_sockets_come_before_DIN_and_microphone()
    {
        var plan = PatchPlanner.Plan(Rigs.Of(Desk, "mic-in:mini:2;tape-din:din5:2;line-in:rca:2;line-out:rca:2"));
        Assert.All(
            plan.Lanes,
            l =>
                Assert.StartsWith(
                    "line",
                    (l.SinkDevice == plan.Rig.Interface ? l.SourceSocket : l.SinkSocket).Name,
                    StringComparison.Ordinal
                )
        );
    }

    [Fact]
    public void Two_machines_share_the_interface_and_the_drawer()
    {
        var rig = Rigs.Parse(
            """
            { "interface": { "sockets": ["line-out:ts:4", "line-in:ts:4"] }, "drawer": { "2ts-2rca": 3 },
              "machines": [ { "name": "a", "sockets": ["line-in:rca:2", "line-out:rca:2"] }, { "name": "b", "sockets": ["line-in:rca:2", "line-out:rca:2"] } ] }
            """
        );
        var plan = PatchPlanner.Plan(rig);
        Assert.True(plan.IsWhole);
        Assert.Equal(8, plan.Lanes.Count);
        Assert.Equal(1, Assert.Single(plan.Shopping).Count);
        Assert.Equal(plan.Wiring.Joins.Count * 2, plan.Wiring.Joins.SelectMany(j => new[] { j.A, j.B }).Distinct().Count());
    }

    /// <summary>The plan is examined contact by contact by other code than that which found it: they must agree.</summary>
    [Theory]
    [InlineData("line-in:rca:2;line-out:rca:2")]
    [InlineData("tape-din:din5:2")]
    [InlineData("line-in:xlr:2:+4;line-out:xlr:2:+4")]
    [InlineData("mic-in:mini:1:plug-in-power;headphone-out:mini-trs:2")]
    public void What_the_search_allows_the_check_does_not_refuse(string machine)
    {
        foreach (var desk in new[] { Desk, "line-out:trs:8;line-in:trs:8", "line-out:rca:2;line-in:rca:2", "line-out:xlr:2;line-in:xlr:2" })
        {
            var plan = PatchPlanner.Plan(Rigs.Of(desk, machine));
            Assert.DoesNotContain(plan.Hazards, h => h.Severity == Severity.Refuse && h.Code != HazardCode.NoWay);
        }
    }

    [Theory]
    [InlineData("line-in:rca:2;line-out:rca:2")]
    [InlineData("tape-din:din5:2")]
    [InlineData("line-in:rca:4;line-out:rca:4")]
    public void The_patch_of_one_machine_is_one_page(string machine)
    {
        var plan = PatchPlanner.Plan(Rigs.Of("line-out:trs:8;line-in:trs:8", machine));
        var page = Assert.Single(PatchSheet.Of(plan).ToSvg());
        foreach (var word in new[] { "Switching on", "Look to", "To buy", "line out" })
            Assert.Contains(word, page, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("{", "line 1")]
    [InlineData("{ \"interface\": { \"sockets\": [\"line-out:scart:2\"] } }", "scart")]
    [InlineData("{ \"interface\": { \"sockets\": [\"line-out:ts:2\"], \"colour\": 1 } }", "colour")]
    [InlineData("{ \"interface\": { \"sockets\": [\"line-out:ts:2\"] }, \"drawer\": { \"scart\": 1 } }", "scart")]
    [InlineData("{ \"formatVersion\": 9, \"interface\": { \"sockets\": [] } }", "version 9")]
    [InlineData(
        "{ \"interface\": { \"sockets\": [\"line-out:ts:2\"] }, \"wired\": { \"joins\": [\"interface: line out 9 > interface: line out 1\"] } }",
        "line out 9"
    )]
    public void A_rig_that_is_not_understood_is_one_line(string json, string what)
    {
        var fault = Assert.Throws<Base.Fault>(() => Rigs.Parse(json));
        Assert.Contains(what, fault.Message, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', fault.Message);
    }
}
