using Offtape.Base;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Returning.Stripes;

/// <summary>What bleeds of the stripe into its neighbour: in a pause of the source nothing else is heard than that and a little hiss.</summary>
public sealed class StripeBleedTests
{
    [Fact]
    public void Bleed_is_taken_out_of_retimed_takes_and_left_in_shifted_ones()
    {
        using var rig = new PassRig();
        const int rate = 48_000;
        var sound = Recordings.Phrase(77, RecordingKind.Plucked, 6);
        // A pause from 2 to 4 s, with short fades so that nothing clicks.
        for (var i = 0; i < sound.Length; i++)
            sound[i] *= (float)Math.Clamp(Math.Max(2 - (double)i / rate, (double)i / rate - 4) / 0.02, 0, 1);
        rig.AddSource("sound", [sound]);
        rig.Send(r => r with { StripeTrack = 2, Layout = SendLayout.Parallel });
        var deck = MachinePresets.TypicalDeck.Rewound();
        rig.Print(
            new SimulatedMachine(
                deck with
                {
                    Tracks = deck.Tracks with { CrosstalkDb = -30, DelayWanderMicroseconds = 0 },
                    Noise = deck.Noise with { SignalToNoiseDb = 75 },
                },
                8
            )
        );
        var result = rig.Return(r => r with { Retimings = [Retiming.Shift, Retiming.Lock] });
        var take = result.Sheet.Takes.Single();
        Assert.True(take.Found, take.Sentence);
        var (left, asCaptured) = (PauseDbfs(rig, take.Files["lock"]), PauseDbfs(rig, take.Files["shift"]));
        // 25 dB: below that the machine's own noise is what is left (75 dB under an operating level of −12 dBFS, from 100 Hz to 10 kHz). The
        // tracks stand still against each other here: where they wander by 2 µs, some 20 dB can go.
        Assert.InRange(asCaptured, -60, -45);
        Assert.True(left < asCaptured - 25, $"{asCaptured:0.0} dBFS became {left:0.0}");
        Assert.NotNull(take.StripeBleedDb);
        Assert.True(take.StripeBleedLeftDb < take.StripeBleedDb - 20);
    }

    private static double PauseDbfs(PassRig rig, string file)
    {
        var (channels, rate) = PassRig.Read(Path.Combine(rig.TakeFolder, file));
        // Well inside the pause, wherever a whole-sample shift has it.
        var pause = channels[0].AsSpan((int)(2.5 * rate), rate);
        double sum = 0;
        foreach (var value in pause)
            sum += (double)value * value;
        return Conversions.PowerToDb(sum / pause.Length);
    }
}
