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
    public SimulatedReturn Run(float[][] sendChannels, int sampleRateHz, RunOptions? options = null)
    {
        options ??= new RunOptions();
        var frameCount = CheckSend(sendChannels, sampleRateHz);
        var tracks = options.CaptureTracks ?? [.. Enumerable.Range(0, sendChannels.Length)];
        foreach (var track in tracks)
        {
            if (track < 0 || track >= sendChannels.Length)
                throw new ArgumentException($"Track {track} is not among the {sendChannels.Length} of the send.", nameof(options));
        }
        var sendSeconds = Conversions.FramesToSeconds(frameCount, sampleRateHz);
        var plan = new RunPlan(Model, Seed, options, sendSeconds);
        var recording = new Recording(Model, sendChannels, sampleRateHz);
        var replay = new Replay(Model, Seed, options, plan, recording, sendSeconds);
        var captured = new CapturedTrack[tracks.Count];
        Parallel.For(0, tracks.Count, i => captured[i] = replay.Capture(tracks[i], i));
        var truth = Array.ConvertAll(captured, c => c.Truth);
        return new SimulatedReturn
        {
            Channels = Array.ConvertAll(captured, c => c.Samples),
            SampleRateHz = replay.SampleRateHz,
            TruthPerChannel = truth,
            Dropouts = [.. captured.SelectMany(c => c.Dropouts).OrderBy(d => d.CaptureSeconds)],
            WowFlutterPercent = plan.WowFlutterPercent,
            SpeedRatio = 1 / Math.Abs(truth[0].MeanRate),
        };
    }

    private static int CheckSend(float[][] sendChannels, int sampleRateHz)
    {
        if (!SampleRate.IsSupported(sampleRateHz))
            throw new ArgumentOutOfRangeException(nameof(sampleRateHz), sampleRateHz, "Not a supported sample rate.");
        if (sendChannels.Length == 0)
            throw new ArgumentException("A send has at least one channel.", nameof(sendChannels));
        var frameCount = sendChannels[0].Length;
        if (Array.Exists(sendChannels, c => c.Length != frameCount))
            throw new ArgumentException("All channels of a send are of one length.", nameof(sendChannels));
        return frameCount;
    }
}
