namespace Offtape.Studio.Tests;

/// <summary>
/// DIN plugs and sockets as IEC 60130-9 and DIN 41524 lay them down, after a secondary source; 240° after DIN 45322 and 270° from memory.
/// </summary>
public sealed class DinTests
{
    /// <summary>Round the arc stand 1, 4, 2, 5, 3, with 45° between them.</summary>
    [Fact]
    public void Pins_stand_1_4_2_5_3_round_the_arc()
    {
        Assert.Equal(["1", "4", "2", "5", "3"], PlugShapes.Din5.Contacts);
        Assert.Equal([-90.0, -45, 0, 45, 90], PlugShapes.Din5.ContactDegrees);
        Assert.Equal([-90.0, 0, 90], PlugShapes.Din3.ContactDegrees);
    }

    /// <summary>On the recorder 1 and 4 take left and right, 3 and 5 give left and right back, 2 is ground.</summary>
    [Fact]
    public void A_recorder_takes_1_and_4_and_gives_3_and_5()
    {
        var socket = Assert.Single(SocketWords.Parse("tape-din:din5:2").Sockets);
        Assert.Equal(
            [("1", Flow.In, 1), ("3", Flow.Out, 1), ("4", Flow.In, 2), ("5", Flow.Out, 2)],
            socket.Lanes.Select(l => (l.Hot, l.Flow, l.Channel)).Order()
        );
        Assert.All(socket.Lanes, l => Assert.Equal("2", l.Ground));
    }

    [Fact]
    public void An_amplifier_gives_1_and_4_and_takes_3_and_5()
    {
        var socket = Assert.Single(SocketWords.Parse("amp-din:din5:2").Sockets);
        Assert.Equal(
            [("1", Flow.Out, 1), ("3", Flow.In, 1), ("4", Flow.Out, 2), ("5", Flow.In, 2)],
            socket.Lanes.Select(l => (l.Hot, l.Flow, l.Channel)).Order()
        );
    }

    [Fact]
    public void A_mono_plug_mates_with_the_left_channel_of_a_stereo_socket()
    {
        var touching = PlugShapes
            .Touching(PlugShapes.Din3, PlugShapes.Din5)
            .Select(t => (PlugShapes.Din3.Contacts[t.Plug], PlugShapes.Din5.Contacts[t.Socket]));
        Assert.Equal([("1", "1"), ("2", "2"), ("3", "3")], touching.Order());
        Assert.False(PlugShapes.Fits(PlugShapes.Din5, PlugShapes.Din3));
    }

    [Fact]
    public void Plugs_of_180_240_and_270_degrees_go_only_into_their_own_kind()
    {
        PlugShape[] five = [PlugShapes.Din5, PlugShapes.Din5Wide, PlugShapes.Din5Widest];
        foreach (var plug in five)
        foreach (var socket in five)
            Assert.Equal(plug == socket, PlugShapes.Fits(plug, socket));
        Assert.False(PlugShapes.Fits(PlugShapes.Din3, PlugShapes.Din5Wide));
    }

    /// <summary>Cords are wired pin for pin; between two recorders that joins output to output, and only a crossed one does not.</summary>
    [Theory]
    [InlineData("din5-din5", true)]
    [InlineData("din5-din5-crossed", false)]
    public void Two_recorders_want_a_crossed_lead(string lead, bool isSwapped)
    {
        var rig = Rigs.Of(
            "tape-din:din5:2",
            "tape-din:din5:2",
            Rigs.Wired($"\"a\": \"{lead}\"", "interface: tape din > a: 0", "a: 1 > deck: tape din")
        );
        var found = PatchCheck.Examine(rig, rig.Wired);
        Assert.Equal(isSwapped, found.Hazards.Any(h => h.Code == HazardCode.RecordReplaySwapped));
        Assert.Equal(isSwapped ? 0 : 4, found.Lanes.Count);
    }
}
