using Offtape.Perf.Passes;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Returning.Stripes;

/// <summary>
/// Whole returns with a stripe on a spare track. The truth is the simulated machine's own map of each track; the limits are what the program
/// promises, not what it happened to reach.
/// </summary>
public sealed class StripeReturnTests
{
    [Fact]
    public void A_stripe_is_followed_to_two_microseconds_through_dropouts_and_leads_its_takes()
    {
        var outcome = StripeTrials.Pass(Row("four-track, 600 µrad, dropouts"), 1, 8);
        Assert.InRange(outcome.StripeRms, 0, 2);
        Assert.InRange(outcome.StripeRatio, 0.3, 1.5);
        // A dropout makes the map unsure and must be said to: errors there of several sigmas would be lies.
        Assert.True(double.IsNaN(outcome.DropoutRatio) || outcome.DropoutRatio < 2, $"{outcome.DropoutRatio}");
        Assert.All(
            outcome.Takes,
            take =>
            {
                // As good as the better of the two alone, to within the 0.3 µs of two constants removed.
                Assert.InRange(take.Rms, 0, Math.Min(take.RmsAlone, 2) + 0.3);
                Assert.InRange(take.WanderTold - take.WanderTrue, -3 * take.WanderSigma, 3 * take.WanderSigma);
            }
        );
    }

    [Fact]
    public void A_stripe_is_found_at_twice_its_speed_and_backwards()
    {
        var outcome = StripeTrials.Pass(Row("four-track, double speed, backwards"), 0, 6);
        Assert.InRange(outcome.StripeRms, 0, 2);
        Assert.All(outcome.Takes, take => Assert.InRange(take.Rms, 0, 2));
    }

    [Fact]
    public void A_stripe_serves_the_run_it_was_captured_in_whatever_its_channel()
    {
        using var rig = new PassRig();
        for (var k = 0; k < 3; k++)
            rig.AddSource($"sound-{k}", [Recordings.Phrase((ulong)(40 + k), RecordingKind.Plucked, 4)]);
        rig.Send(r => r with { Layout = SendLayout.Parallel, StripeTrack = 4 });
        var machine = new SimulatedMachine(MachinePresets.AtticFourTrack, 3);
        rig.Print(machine, new RunOptions { CaptureTracks = [0, 1] }, "first");
        rig.Print(machine, new RunOptions { CaptureTracks = [3, 2], ReplayNumber = 2 }, "second");
        var result = rig.Return();
        Assert.All(result.Sheet.Takes, take => Assert.True(take.Found, take.Sentence));
        var runs = result.Sheet.Passes;
        Assert.Null(runs.Single(p => p.Capture == rig.CapturePath("first")).Stripe);
        Assert.Equal(0, runs.Single(p => p.Capture == rig.CapturePath("second")).Stripe?.CaptureChannel);
        Assert.Null(result.Sheet.Takes.Single(t => t.Source == "sound-0.wav").StripeDelayMicroseconds);
        // Track 3 stands one step of the heads' azimuth before track 4.
        var truth = rig.Truth[rig.CapturePath("second")].TruthPerChannel;
        var between = Enumerable
            .Range(0, 40)
            .Average(i => truth[1].CaptureAt(rig.SendSeconds(2, 0.1 * i)) - truth[0].CaptureAt(rig.SendSeconds(2, 0.1 * i)));
        Assert.Equal(between * 1e6, result.Sheet.Takes.Single(t => t.Source == "sound-2.wav").StripeDelayMicroseconds!.Value, 2.0);
    }

    private static StripeTrials.Row Row(string name) => StripeTrials.Rows.Single(r => r.Name == name);
}
