using Offtape.AudioFiles;
using Offtape.Passes.Finding;
using Offtape.Passes.Listening;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Returning;

/// <summary>Sounds that never fall silent, as the search for places sees them.</summary>
public sealed class DenseSoundTests
{
    /// <summary>
    /// Real voices, one over the other, so that the quietest twentieth of every band is voice as well: whoever takes that for hiss sees another
    /// picture in the source than in the capture. A picture of three seconds of it, drawn for the true speed, has to fit nearly whole where it is
    /// heard (1 is a perfect fit; 0.97 of it are asked).
    /// </summary>
    [Fact]
    public void Voices_over_each_other_look_the_same_before_and_after_the_tape()
    {
        const int rate = Recordings.SampleRateHz;
        var random = new SplitMix64(11);
        var dense = new float[8 * rate];
        var voices = new[] { "choir.bass_voxy_c", "choir.bass_voxy_hit_c" }.Select(n => Recordings.Load(n)[0]).ToArray();
        for (var start = rate / 10; start < dense.Length - rate / 2; start += (int)(rate * (0.5 + 0.5 * random.Unit())))
        {
            var (voice, gain) = (voices[random.Unit() < 0.5 ? 0 : 1], 0.15f + 0.15f * (float)random.Unit());
            for (var i = 0; i < voice.Length && start + i < dense.Length; i++)
                dense[start + i] += gain * voice[i];
        }
        using var rig = new PassRig();
        rig.AddSource("voices", [dense]);
        rig.Send();
        rig.Print(new SimulatedMachine(MachinePresets.TypicalDeck.OffTape(), 4));
        using var source = AudioFile.Open(rig.Sources[0]);
        using var capture = AudioFile.Open(rig.CapturePath("capture"));
        var patch = SoundPicture.Patch(0, [new WorkingSignal(source, [0])], 2.65, 3, 1);
        var picture = SoundPicture.Of([new WorkingSignal(capture, [0])], TestContext.Current.CancellationToken);
        var best = new PictureSearch([patch]).Search(picture, 1, TestContext.Current.CancellationToken).Single();
        Measured.Within(rig.TrueCaptureSeconds(0, 2.65), best.CaptureSeconds, 0.03, "place, s");
        Measured.AtLeast(0.97, best.Fit, "fit");
    }
}
