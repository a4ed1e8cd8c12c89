using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Simulator;

/// <summary>The mishap of a monitor left on source: what is captured never was on tape. No noise, no wobble, only the interface's latency.</summary>
internal static class SourceMonitor
{
    internal static SimulatedReturn Run(
        MachineModel model,
        ulong seed,
        RunOptions options,
        float[][] send,
        int sendRateHz,
        IReadOnlyList<int> tracks
    )
    {
        var rate = options.CaptureSampleRateHz == 0 ? sendRateHz : options.CaptureSampleRateHz;
        var scatter = new Dice(seed, $"start replay {options.ReplayNumber}").Uniform();
        // One clock drives both converters, so the delay is a whole number of frames.
        var delayFrames = Math.Round((options.LeadSeconds + options.LeadScatterSeconds * scatter + options.InterfaceLatencySeconds) * rate);
        var sendSeconds = Conversions.FramesToSeconds(send[0].Length, sendRateHz);
        var frameCount = (int)Math.Max(1, Math.Ceiling(delayFrames + (sendSeconds + options.TailSeconds) * rate));
        var gainDb = options.RecordGainDb - model.SendOperatingLevelDbfs + model.CaptureOperatingLevelDbfs + options.CaptureGainDb;
        var gain = (float)(Conversions.DbToAmplitude(gainDb) * (options.IsPolarityInverted ? -1 : 1));
        var channels = new float[tracks.Count][];
        for (var c = 0; c < channels.Length; c++)
        {
            channels[c] = new float[frameCount];
            var places = new double[frameCount];
            for (var i = 0; i < frameCount; i++)
                places[i] = (i - delayFrames) * sendRateHz / rate;
            new DirectSinc().Read(send[tracks[c]], places, channels[c]);
            for (var i = 0; i < frameCount; i++)
                channels[c][i] = gain * channels[c][i] + (float)options.DcOffset;
        }
        if (options.AreChannelsSwapped)
            Array.Reverse(channels);
        var (label, stretch) = Interface.Label(options, rate);
        var truth = TimeMap.Constant(delayFrames / rate * stretch, stretch, Math.Max(sendSeconds, options.TruthStepSeconds));
        return new SimulatedReturn
        {
            Channels = channels,
            SampleRateHz = label,
            TruthPerChannel = [.. channels.Select(_ => truth)],
            TrackOfChannel = options.AreChannelsSwapped ? [.. tracks.Reverse()] : [.. tracks],
            HeardToSendSeconds = sendSeconds,
            SpeedRatio = 1 / stretch,
            ClippedSampleCount = options.ClipsAtFullScale ? channels.Sum(Interface.Clip) : 0,
        };
    }
}
