using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Returning;

/// <summary>The tape stands still in the middle of a sound; truth is the simulated machine's own map.</summary>
public sealed class StopTests
{
    // Outside the stop and its ramps: what is promised there (0.10 ms RMS), and never more than a tenth of a beat's worth of doubt.
    private const double PromisedSeconds = 0.1e-3;

    [Fact]
    public void A_take_with_a_stop_is_written_in_every_retiming_and_is_in_time_on_both_sides_of_it()
    {
        using var rig = new PassRig();
        rig.AddSource("kit", [Recordings.Phrase(401, RecordingKind.Drum, 6)]);
        rig.Send();
        var model = MachinePresets.TypicalDeck.Rewound();
        // Capture seconds at nominal speed: the sound begins where it stands in the send, plus the lead.
        var stop = rig.Sheet!.Items[0].StartSeconds + 3 + 3.5;
        rig.Print(
            new SimulatedMachine(model with { Sound = model.Sound with { MinimumPhase = false } }, 17),
            new RunOptions { LeadScatterSeconds = 0, ReplayStops = [new TapeStop(stop, 0.8)] }
        );

        var result = rig.Return(r => r with { Retimings = [Retiming.Shift, Retiming.Fit, Retiming.Steady, Retiming.Lock] });

        Assert.Equal(ExitCode.Done, result.ExitCode);
        var take = Assert.Single(result.Sheet.Takes);
        Assert.Contains(take.Warnings, w => w.Code == WarningCode.StopInTake);
        var stand = Assert.Single(take.Stops);
        foreach (var retiming in new[] { "fit", "steady", "lock" })
        {
            using var written = AudioFile.Open(Path.Combine(rig.TakeFolder, take.Files[retiming]));
            Assert.Equal(6L * 48_000, written.FrameCount);
        }
        var errors = new List<double>();
        for (var i = 0; i < take.TimeMap!.SourceSeconds.Length; i++)
        {
            var s = take.TimeMap.SourceSeconds[i];
            if (s < 0.2 || s > 5.8 || (s > stand.FromSourceSeconds - 0.3 && s < stand.ToSourceSeconds + 0.5))
                continue;
            errors.Add(take.TimeMap.CaptureSeconds[i] - rig.TrueCaptureSeconds(0, s));
        }
        Assert.True(errors.Count > 300);
        Measured.Within(0, Math.Sqrt(errors.Average(e => e * e)), PromisedSeconds, "RMS of the map outside the stop, s");
    }
}
