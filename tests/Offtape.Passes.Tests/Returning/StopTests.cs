using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Returning;

/// <summary>The tape stands still in the middle of a sound; truth is the simulated machine's own map.</summary>
public sealed class StopTests
{
    // Outside the stop and its ramps: what is promised there (0.10 ms RMS).
    private const double PromisedSeconds = 0.1e-3;
    private const double LengthSeconds = 6;

    [Fact]
    public void A_take_with_a_stop_is_written_in_every_retiming_and_is_in_time_on_both_sides_of_it()
    {
        RecordingKind[] kinds = [RecordingKind.Plucked, RecordingKind.Sustained, RecordingKind.Bass];
        using var rig = new PassRig();
        for (var i = 0; i < kinds.Length; i++)
            rig.AddSource(kinds[i].ToString(), [Recordings.Phrase((ulong)(7001 + i), kinds[i], LengthSeconds)]);
        rig.Send();
        var model = MachinePresets.TypicalDeck.Rewound();
        // Capture seconds at nominal speed: a sound begins where it stands in the send, plus the lead; each stop holds up those behind it.
        var stops = rig.Sheet!.Items.Select((item, i) => new TapeStop(item.StartSeconds + 3 + 3.2 + i * 1.05, 0.6)).ToList();
        rig.Print(
            new SimulatedMachine(model with { Sound = model.Sound with { MinimumPhase = false } }, 3000),
            new RunOptions { LeadScatterSeconds = 0, ReplayStops = stops }
        );

        var result = rig.Return(r => r with { Retimings = [Retiming.Shift, Retiming.Fit, Retiming.Steady, Retiming.Lock] });

        Assert.Equal(ExitCode.Done, result.ExitCode);
        Assert.Equal(kinds.Length, result.Sheet.Takes.Count);
        for (var i = 0; i < kinds.Length; i++)
            CheckTake(rig, result.Sheet.Takes[i], i);
    }

    private static void CheckTake(PassRig rig, ReturnTake take, int item)
    {
        Assert.Contains(take.Warnings, w => w.Code == WarningCode.StopInTake);
        var stand = Assert.Single(take.Stops);
        foreach (var retiming in new[] { "fit", "steady", "lock" })
        {
            using var written = AudioFile.Open(Path.Combine(rig.TakeFolder, take.Files[retiming]));
            Assert.Equal((long)(LengthSeconds * 48_000), written.FrameCount);
        }
        // The map never goes back: what is heard later is later.
        var map = take.TimeMap!;
        Assert.All(Enumerable.Range(1, map.CaptureSeconds.Length - 1), i => Assert.True(map.CaptureSeconds[i] > map.CaptureSeconds[i - 1]));
        var errors = new List<double>();
        for (var i = 0; i < map.SourceSeconds.Length; i++)
        {
            var s = map.SourceSeconds[i];
            if (s < 0.2 || s > LengthSeconds - 0.2 || (s > stand.FromSourceSeconds - 0.3 && s < stand.ToSourceSeconds + 0.5))
                continue;
            errors.Add(map.CaptureSeconds[i] - rig.TrueCaptureSeconds(item, s));
        }
        Assert.True(errors.Count > 200);
        Measured.Within(0, Math.Sqrt(errors.Average(e => e * e)), PromisedSeconds, $"RMS of the map of {take.Source} outside the stop, s");
    }
}
