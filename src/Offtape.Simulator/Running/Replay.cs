using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Simulator;

/// <summary>One captured channel with the truth about it.</summary>
internal sealed record CapturedTrack(float[] Samples, TimeMap Truth, IReadOnlyList<SimulatedDropout> Dropouts);

/// <summary>The replay of a recording into a capture, track by track; safe to use for several tracks at once.</summary>
internal sealed class Replay
{
    private const int BlockFrames = 8192;

    private readonly MachineModel _model;
    private readonly ulong _seed;
    private readonly RunOptions _options;
    private readonly RunPlan _plan;
    private readonly Recording _recording;
    private readonly double _sendSeconds;

    internal Replay(MachineModel model, ulong seed, RunOptions options, RunPlan plan, Recording recording, double sendSeconds)
    {
        (_model, _seed, _options, _plan, _recording, _sendSeconds) = (model, seed, options, plan, recording, sendSeconds);
        SampleRateHz = options.CaptureSampleRateHz == 0 ? recording.SampleRateHz : options.CaptureSampleRateHz;
    }

    internal int SampleRateHz { get; }

    internal CapturedTrack Capture(int track, int channel)
    {
        var delay = DelayOf(track);
        var dropouts = DropoutList.Draw(_model.Dropouts, _seed, track, channel, _plan.Path, delay, _sendSeconds);
        var samples = new float[(int)Conversions.SecondsToFramesCeiling(_plan.CaptureSeconds, SampleRateHz)];
        var sinc = new DirectSinc();
        var places = new double[BlockFrames];
        var hiss = new HissSource(_model.Noise, SampleRateHz, new Dice(_seed, $"hiss {_options.ReplayNumber}", track));
        var gain = (float)Conversions.DbToAmplitude(_model.CaptureOperatingLevelDbfs + track * _model.Tracks.BalanceDb);
        var hint = 0;
        for (var from = 0; from < samples.Length; from += BlockFrames)
        {
            var block = samples.AsSpan(from, Math.Min(BlockFrames, samples.Length - from));
            for (var i = 0; i < block.Length; i++)
            {
                var captureSeconds = (double)(from + i) / SampleRateHz;
                var sendSeconds = _plan.Path.SendAt(captureSeconds - delay.At(captureSeconds), ref hint);
                places[i] = sendSeconds * _recording.SampleRateHz + Recording.MarginFrames;
            }
            sinc.Read(_recording.Tracks[track], places.AsSpan(0, block.Length), block);
            DropoutList.Apply(dropouts, block, from, SampleRateHz);
            hiss.AddTo(block);
            for (var i = 0; i < block.Length; i++)
                block[i] *= gain;
        }
        var truth = _plan.Path.Truth(_sendSeconds, _options.TruthStepSeconds, delay);
        return new CapturedTrack(samples, truth, dropouts);
    }

    private TrackDelay DelayOf(int track)
    {
        var tracks = _model.Tracks;
        return new TrackDelay(
            track * tracks.InterChannelDelayMicroseconds * 1e-6,
            track * tracks.DelayWanderMicroseconds * 1e-6,
            0,
            _plan.CaptureSeconds + 1,
            new Dice(_seed, $"azimuth {_options.ReplayNumber}")
        );
    }
}
