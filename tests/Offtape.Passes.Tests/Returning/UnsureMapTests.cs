using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Returning;

/// <summary>Where a sound says too little of the tape, the return says so; truth is the simulated machine's own map.</summary>
public sealed class UnsureMapTests
{
    private static ReturnTake Back(float[] source)
    {
        using var rig = new PassRig();
        rig.AddSource("pulse", [source]);
        rig.Send();
        rig.Print(new SimulatedMachine(MachinePresets.WornDeck.Rewound(), 5));
        return rig.Return(r => r with { Retimings = [Retiming.Lock] }).Sheet.Takes[0];
    }

    /// <summary>A plucked phrase, then a tone so low that a worn deck's hum and bass limit leave next to nothing of its phase.</summary>
    [Fact]
    public void A_sound_by_which_the_tape_cannot_be_followed_is_warned_of()
    {
        var source = new float[9 * Recordings.SampleRateHz];
        Recordings.Phrase(44, RecordingKind.Plucked, 3).CopyTo(source, 0);
        var peak = source.Max(Math.Abs);
        for (var i = 3 * Recordings.SampleRateHz; i < source.Length; i++)
            source[i] += peak * 0.06f * (float)Math.Sin(2 * Math.PI * 22 * i / Recordings.SampleRateHz);
        var take = Back(source);
        Assert.Contains(take.Warnings, w => w.Code == WarningCode.UnsureMap);
    }

    [Fact]
    public void A_sound_by_which_it_can_is_not()
    {
        var take = Back(Recordings.Phrase(44, RecordingKind.Plucked, 4));
        Assert.DoesNotContain(take.Warnings, w => w.Code == WarningCode.UnsureMap);
    }
}
