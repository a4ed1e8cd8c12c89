using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Bench.Tests;

/// <summary>
/// A delay that wanders slowly, read from three sweeps and no steady tone: what is stated holds the machine's own mean delay, although each sweep
/// catches the wander at one place. The truth is the simulated machine's.
/// </summary>
public sealed class WanderingDelayTests
{
    private static readonly string[] Sweeps = ["level-1000", "sweep-minus20-both", "sweep-0-both", "sweep-plus6-both"];

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void Sweeps_alone_state_a_delay_as_sure_as_they_are(int seed)
    {
        var model = MachinePresets.HarbourReelWorn;
        var reading = SimulatedMachines.Report(model, (ulong)seed, HowTaken.OffTape, Sweeps).Find("interChannelDelay")!;
        // Half as much again as what holds it 95 times in 100.
        Measured.Within(model.Tracks.InterChannelDelayMicroseconds, reading.Value!.Value, 1.5 * reading.Uncertainty!.Value, "delay in µs");
        // And still says something: the wander is 3 µs.
        Measured.AtMost(15, reading.Uncertainty.Value);
    }
}
