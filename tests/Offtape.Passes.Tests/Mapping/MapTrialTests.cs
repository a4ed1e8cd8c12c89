using Offtape.Perf.Passes;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Passes.Tests.Mapping;

/// <summary>
/// A small fixed share of the passes whose full counts stand in perf/results: real recordings of every kind through simulated decks and back,
/// the whole way. The truth is the machine's own map, with minimum phase plus one constant a pass. Limits are what is promised.
/// </summary>
public sealed class MapTrialTests
{
    [Theory]
    [InlineData("typical, off tape, linear phase", 10e-6, 40e-6, 3e-6)]
    [InlineData("typical, rewound, minimum phase", 10e-6, 40e-6, 3e-6)]
    [InlineData("worn, off tape, minimum phase", 30e-6, 150e-6, 8e-6)]
    [InlineData("worn, rewound, linear phase", 30e-6, 150e-6, 8e-6)]
    public void Every_source_is_mapped_as_promised(string machine, double worstRms, double worstAt99, double medianRms)
    {
        var model = MappedPass.Machines.Single(m => m.Name == machine).Model;
        var phrases = Enum.GetValues<RecordingKind>().Select(k => (k, 5.0)).ToArray();
        using var rig = new PassRig();
        var takes = MappedPass.Run(rig, model, 72, phrases);
        Assert.Equal(phrases.Length, takes.Count);
        var constant = model.Sound.MinimumPhase ? MappedPass.Constant(takes) : 0;
        var errors = takes.Select(t => (t.Kind, Error: t.Error(constant))).ToList();
        var table = string.Join(", ", errors.Select(e => $"{e.Kind} {e.Error.Rms * 1e6:0.0}/{e.Error.At99 * 1e6:0.0} µs"));
        Measured.AtMost(worstRms, errors.Max(e => e.Error.Rms), $"worst rms, s ({table})");
        Measured.AtMost(worstAt99, errors.Max(e => e.Error.At99), $"worst 99th percentile, s ({table})");
        Measured.AtMost(medianRms, errors.Select(e => e.Error.Rms).Order().ElementAt(errors.Count / 2), $"median rms, s ({table})");
    }
}
