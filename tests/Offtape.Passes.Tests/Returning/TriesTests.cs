using Offtape.Base;
using Offtape.Passes.Finding;
using Offtape.Passes.Following;
using Offtape.Passes.Listening;
using Offtape.Passes.Tries;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Returning;

/// <summary>
/// Several returns of one source against each other. Truth is the simulated machine's own map of each print: how far two takes really lie
/// apart along their maps.
/// </summary>
public sealed class TriesTests
{
    private static readonly RecordingKind[] Kinds = [RecordingKind.Drum, RecordingKind.Plucked, RecordingKind.Sustained];

    private static PassRig Printed(out ReturnSheet sheet, Func<ReturnRequest, ReturnRequest>? change = null)
    {
        var rig = new PassRig();
        foreach (var (kind, i) in Kinds.Select((k, i) => (k, i)))
            rig.AddSource(kind.ToString(), [Recordings.Phrase((ulong)(810 + i), kind, 4)]);
        rig.Send();
        var tape = new SimulatedMachine(MachinePresets.TypicalDeck.Rewound(), 77);
        rig.Print(tape, name: "try 1");
        rig.Print(tape, new RunOptions { ReplayNumber = 2 }, "try 2");
        rig.Print(new SimulatedMachine(MachinePresets.TypicalDeck.Rewound(), 78), name: "try 3");
        sheet = rig.Return(r => (change ?? (x => x))(r with { Retimings = [Retiming.Lock] })).Sheet;
        return rig;
    }

    [Fact]
    public void Three_tries_of_a_sound_are_listed_and_lie_as_far_apart_as_the_truth_says()
    {
        using var rig = Printed(out var sheet);
        Assert.Equal(Kinds.Length, sheet.Tries.Count);
        foreach (var tries in sheet.Tries)
        {
            Assert.Equal(3, tries.Takes.Count);
            Assert.All(tries.Takes, i => Assert.Equal(tries.Source, sheet.Takes[i].Source));
            for (var k = 1; k < 3; k++)
            {
                var (offset, spread) = TrueDistance(rig, sheet.Takes[tries.Takes[0]], sheet.Takes[tries.Takes[k]]);
                // What the maps themselves are off by on this deck (perf/results/maps.md).
                Measured.Within(offset, tries.OffsetMicroseconds[k]!.Value, 1.6, $"offset of try {k + 1} of {tries.Source}, µs");
                Measured.Within(spread, tries.SpreadMicroseconds[k]!.Value, 1.6, $"spread of try {k + 1} of {tries.Source}, µs");
            }
        }
    }

    /// <summary>A take against itself, along a curve that is wrong by a known time: read too late, it is heard too early.</summary>
    [Theory]
    [InlineData(20)]
    [InlineData(-85)]
    public void A_known_distance_between_two_curves_is_read_with_its_sign(double microseconds)
    {
        var cancellation = TestContext.Current.CancellationToken;
        using var rig = new PassRig();
        var path = rig.AddSource("kit", [Recordings.Phrase(91, RecordingKind.Drum, 3)]);
        var source = SourceSound.Of(0, Passes.Listening.Recording.Of(path), cancellation);
        var capture = CaptureSound.Of(0, Passes.Listening.Recording.Of(path), false, JobProgress.None, cancellation);
        using var follower = new TakeFollower(source, capture);
        var take = follower.Follow(0, source.LengthSeconds, 0, 1, 0.02, 0.005, null, 20, cancellation)!;

        var distance = TryComparer.Between(take, take with { Curve = take.Curve.Shifted(microseconds * 1e-6) }, cancellation)!;

        // A tenth of a microsecond: the retimer's kernel is exact to -120 dB, and nothing else differs.
        Measured.Within(-microseconds, distance.OffsetSeconds * 1e6, 0.1, "offset, µs");
        Measured.Within(0, distance.SpreadSeconds * 1e6, 0.1, "spread, µs");
    }

    private static (double OffsetMicroseconds, double SpreadMicroseconds) TrueDistance(PassRig rig, ReturnTake a, ReturnTake b)
    {
        var item = rig.Sheet!.Items.ToList().FindIndex(i => i.Source == a.Source);
        var errors = new List<(double Error, double Weight)>();
        for (var i = 0; i < a.TimeMap!.SourceSeconds.Length; i++)
        {
            var s = a.TimeMap.SourceSeconds[i];
            if (s < b.TimeMap!.SourceSeconds[0] || s > b.TimeMap.SourceSeconds[^1])
                continue;
            // As the comparison does: what sounds clearly says the most.
            var weight = 1 / Math.Pow(a.TimeMap.SigmaMilliseconds[i], 2);
            errors.Add((1e6 * (Error(rig, a, item, s) - Error(rig, b, item, s)), weight));
        }
        var weights = errors.Sum(e => e.Weight);
        var mean = errors.Sum(e => e.Weight * e.Error) / weights;
        return (mean, Math.Sqrt(errors.Sum(e => e.Weight * (e.Error - mean) * (e.Error - mean)) / weights));
    }

    private static double Error(PassRig rig, ReturnTake take, int item, double sourceSeconds)
    {
        var (map, truth) = (take.TimeMap!, rig.Truth[take.Capture!].TruthPerChannel[take.CaptureChannels![0]]);
        var after = Array.FindIndex(map.SourceSeconds, k => k >= sourceSeconds);
        var i = after < 0 ? map.SourceSeconds.Length - 1 : Math.Max(after, 1);
        var share = (sourceSeconds - map.SourceSeconds[i - 1]) / (map.SourceSeconds[i] - map.SourceSeconds[i - 1]);
        var capture = map.CaptureSeconds[i - 1] + share * (map.CaptureSeconds[i] - map.CaptureSeconds[i - 1]);
        return capture - truth.CaptureAt(rig.SendSeconds(item, sourceSeconds));
    }
}
