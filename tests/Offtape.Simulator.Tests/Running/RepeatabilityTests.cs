namespace Offtape.Simulator.Tests;

/// <summary>The same seed gives the same samples, whatever else is computed beside them; another seed gives others.</summary>
public sealed class RepeatabilityTests
{
    private static readonly RunOptions Eventful = new()
    {
        ClicksPerMinute = 30,
        RecordStops = [new TapeStop(2, 0.2)],
        ReplayRide = [new RidePoint(3, 1), new RidePoint(5, 1.03)],
    };

    [Fact]
    public void A_seed_gives_the_same_return_and_another_seed_another()
    {
        var send = Send(4);
        var first = new SimulatedMachine(MachinePresets.WornDeck, 77).Run(send, 16_000, Eventful);
        var second = new SimulatedMachine(MachinePresets.WornDeck, 77).Run(send, 16_000, Eventful);
        var other = new SimulatedMachine(MachinePresets.WornDeck, 78).Run(send, 16_000, Eventful);
        for (var c = 0; c < 4; c++)
        {
            Assert.Equal(first.Channels[c], second.Channels[c]);
            Assert.Equal(first.TruthPerChannel[c].CaptureSeconds, second.TruthPerChannel[c].CaptureSeconds);
        }
        Assert.NotEqual(first.Channels[0].Take(40_000), other.Channels[0].Take(40_000));
    }

    /// <summary>Captured alone, on one thread, a track gives bit for bit what it gives beside three others.</summary>
    [Fact]
    public void A_track_does_not_depend_on_what_is_computed_beside_it()
    {
        var send = Send(4);
        var all = new SimulatedMachine(MachinePresets.WornDeck, 77).Run(send, 16_000, Eventful);
        var beside = new SimulatedMachine(MachinePresets.WornDeck, 77).Run(send, 16_000, Eventful with { ClicksPerMinute = 0 });
        for (var track = 0; track < 4; track++)
        {
            var alone = new SimulatedMachine(MachinePresets.WornDeck, 77).Run(
                send,
                16_000,
                Eventful with
                {
                    CaptureTracks = [track],
                    ClicksPerMinute = 0,
                }
            );
            Assert.Equal(beside.Channels[track], alone.Channels[0]);
            Assert.Equal(all.TruthPerChannel[track].CaptureSeconds, alone.TruthPerChannel[0].CaptureSeconds);
        }
    }

    [Theory, InlineData(0f), InlineData(1f), InlineData(1e-42f)]
    public void The_return_stays_finite(float value)
    {
        var send = new float[2][];
        for (var c = 0; c < 2; c++)
        {
            send[c] = new float[32_000];
            Array.Fill(send[c], value);
        }
        foreach (var model in MachinePresets.All)
        {
            var back = new SimulatedMachine(model with { RecordLevelControl = new LevelControlModel() }, 1).Run(send, 32_000);
            Assert.All(back.Channels, c => Assert.All(c, s => Assert.True(float.IsFinite(s) && Math.Abs(s) <= 1)));
        }
    }

    private static float[][] Send(int channels)
    {
        var random = new Random(5);
        return
        [
            .. Enumerable
                .Range(0, channels)
                .Select(_ => Enumerable.Range(0, 5 * 16_000).Select(_ => (float)(random.NextDouble() - 0.5) * 0.3f).ToArray()),
        ];
    }
}
