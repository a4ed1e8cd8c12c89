using Offtape.Base;

namespace Offtape.Simulator;

/// <summary>
/// A machine with a tape in it. The same model, seed, send and options give the same return, sample for sample, however many threads there
/// are. Each run computes its channels in parallel.
/// </summary>
public sealed class SimulatedMachine(MachineModel model, ulong seed)
{
    public MachineModel Model { get; } = model;

    public ulong Seed { get; } = seed;

    /// <summary>Records the send and brings it back.</summary>
    /// <param name="sendChannels">One array for each track, all of one length; full scale is 1.</param>
    /// <param name="sampleRateHz">Rate of the send.</param>
    /// <param name="options">What happens in this run; null for an uneventful one.</param>
    /// <exception cref="ArgumentException">The send is none, or the options ask for what this machine cannot do.</exception>
    public SimulatedReturn Run(float[][] sendChannels, int sampleRateHz, RunOptions? options = null) =>
        Record(sendChannels, sampleRateHz, options).Replay(options);

    /// <summary>Records the send on a tape that can be replayed several times, for instance two tracks at a time.</summary>
    /// <inheritdoc cref="Run"/>
    public SimulatedTape Record(float[][] sendChannels, int sampleRateHz, RunOptions? options = null)
    {
        if (!SampleRate.IsSupported(sampleRateHz))
            throw new ArgumentOutOfRangeException(nameof(sampleRateHz), sampleRateHz, "Not a supported sample rate.");
        if (sendChannels.Length == 0)
            throw new ArgumentException("A send has at least one channel.", nameof(sendChannels));
        if (Array.Exists(sendChannels, c => c.Length != sendChannels[0].Length))
            throw new ArgumentException("All channels of a send are of one length.", nameof(sendChannels));
        return new SimulatedTape(Model, Seed, options ?? new RunOptions(), sendChannels, sampleRateHz);
    }
}
