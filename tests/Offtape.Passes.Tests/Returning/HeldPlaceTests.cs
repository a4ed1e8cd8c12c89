using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Returning;

/// <summary>Places that a person has set. Truth is the simulated machine's own map.</summary>
public sealed class HeldPlaceTests
{
    /// <summary>1 ms: what is promised of a place on the typical deck.</summary>
    private const double PlaceSeconds = 1e-3;

    /// <summary>A bar that is heard twice is not guessed; set by hand, a little beside it, it is found at the place that was meant.</summary>
    [Theory]
    [InlineData(0, 0.02)]
    [InlineData(1, -0.08)]
    public void Of_two_places_that_fit_equally_the_one_that_was_set_is_taken(int which, double besideSeconds)
    {
        using var rig = new PassRig();
        var bar = Recordings.Phrase(61, RecordingKind.Drum, 2);
        rig.AddSource("loop", [bar]);
        float[] twice = [.. bar, .. bar];
        rig.Print(new SimulatedMachine(MachinePresets.TypicalDeck.Rewound(), 71), [twice, twice], 48_000, null, "capture");
        var capture = rig.CapturePath("capture");
        var truth = rig.Truth[capture].TruthPerChannel[0].CaptureAt(which * bar.Length / 48_000.0);
        var result = rig.Return(r =>
            r with
            {
                Passes = [],
                Sources = rig.Sources,
                Held = [new HeldPlace("loop.wav", capture, truth + besideSeconds)],
            }
        );
        var take = Assert.Single(result.Sheet.Takes);
        Assert.True(take is { Found: true, Held: true }, take.Sentence);
        Measured.Within(truth, take.CaptureStartSeconds!.Value, PlaceSeconds, "start of the bar, s");
        Assert.Contains("set by hand", take.Sentence, StringComparison.Ordinal);
        Assert.True(File.Exists(Path.Combine(rig.TakeFolder, "fit", "loop-tape.wav")));
    }

    [Fact]
    public void Beside_slates_it_replaces_what_was_found_and_leaves_the_others_alone()
    {
        using var rig = new PassRig();
        rig.AddSource("kit", [Recordings.Phrase(5, RecordingKind.Drum, 3)]);
        rig.AddSource("marimba", [Recordings.Phrase(6, RecordingKind.Plucked, 3)]);
        rig.Send(null);
        rig.Print(new SimulatedMachine(MachinePresets.TypicalDeck.Rewound(), 11));
        var capture = rig.CapturePath("capture");
        var before = rig.Return().Sheet.Takes;
        var place = before.Single(t => t.Source == "kit.wav").CaptureStartSeconds!.Value;
        var sheet = rig.Return(r => r with { Force = true, Held = [new HeldPlace("kit.wav", capture, place + 0.015)] }).Sheet;
        // Run again years later, the place is held still, wherever the capture lies then.
        Assert.Equal([new HeldPlace("kit.wav", "capture.wav", place + 0.015)], sheet.Asked!.Again(rig.TakeFolder, force: true).Held);
        var after = sheet.Takes;
        Assert.Equal(2, after.Count);
        var kit = after.Single(t => t.Source == "kit.wav");
        Assert.True(kit.Held);
        Measured.Within(place, kit.CaptureStartSeconds!.Value, PlaceSeconds, "start of the kit, s");
        var marimba = after.Single(t => t.Source == "marimba.wav");
        Assert.False(marimba.Held);
        Assert.Equal(before.Single(t => t.Source == "marimba.wav").CaptureStartSeconds, marimba.CaptureStartSeconds);
    }

    /// <summary>Where there is nothing of it, that is said, and the sound is found without the hint.</summary>
    [Fact]
    public void A_place_with_nothing_of_the_sound_is_said_and_not_believed()
    {
        using var rig = new PassRig();
        rig.AddSource("kit", [Recordings.Phrase(5, RecordingKind.Drum, 3)]);
        rig.Send(null);
        rig.Print(new SimulatedMachine(MachinePresets.TypicalDeck.Rewound(), 11));
        var capture = rig.CapturePath("capture");
        var place = rig.Return().Sheet.Takes.Single().CaptureStartSeconds!.Value;
        var sheet = rig.Return(r => r with { Force = true, Held = [new HeldPlace("kit.wav", capture, place + 600)] }).Sheet;
        Assert.Contains(sheet.Warnings, w => w.Code == WarningCode.HeldPlaceLost);
        var take = Assert.Single(sheet.Takes);
        Assert.False(take.Held);
        Measured.Within(place, take.CaptureStartSeconds!.Value, 1e-9, "start of the kit, s");
    }
}
