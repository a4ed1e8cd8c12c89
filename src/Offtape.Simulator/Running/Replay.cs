using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Simulator;

/// <summary>One captured channel with the truth about it.</summary>
internal sealed record CapturedTrack(
    float[] Samples,
    TimeMap Truth,
    IReadOnlyList<SimulatedDropout> Dropouts,
    IReadOnlyList<SimulatedClick> Clicks
);

/// <summary>The replay of a recording into a capture, track by track; safe to use for several tracks at once.</summary>
internal sealed class Replay
{
    private const int BlockFrames = 8192;
    private const double ClickDecaySeconds = 0.0002;

    private readonly MachineModel _model;
    private readonly ulong _seed;
    private readonly RunOptions _options;
    private readonly RunPlan _plan;
    private readonly Recording _recording;

    internal Replay(MachineModel model, ulong seed, RunOptions options, RunPlan plan, Recording recording)
    {
        (_model, _seed, _options, _plan, _recording) = (model, seed, options, plan, recording);
        SampleRateHz = options.CaptureSampleRateHz == 0 ? recording.SampleRateHz : options.CaptureSampleRateHz;
        // The send leaves the interface when it is recorded: the distance of the heads earlier than it is heard from tape.
        LeakFrame = (long)Math.Round((plan.LeadSeconds - plan.HeadDelaySeconds) * SampleRateHz);
    }

    internal int SampleRateHz { get; }

    /// <summary>Capture frame of the send's first frame as it leaks in past the tape.</summary>
    internal long LeakFrame { get; }

    // One second of a fast clock holds more frames than it claims: frames stand closer together in true time.
    private double TrueRateHz => SampleRateHz * (1 + _options.ClockErrorPpm * 1e-6);

    internal CapturedTrack Capture(int track, int channel, float[] send)
    {
        var delay = DelayOf(track);
        var trueDropouts = DropoutList.Draw(
            _model.Dropouts,
            _seed,
            track,
            channel,
            _plan.Path,
            delay,
            _plan.MeanReplayRatio,
            _plan.SendSeconds
        );
        var samples = new float[(int)Math.Ceiling(_plan.CaptureSeconds * TrueRateHz)];
        var places = new double[BlockFrames];
        var sinc = new DirectSinc();
        var hiss = new HissSource(_model.Noise, SampleRateHz, Chance("hiss", track));
        var grain = new ModulationNoise(_model.Noise, SampleRateHz, Chance("grain", track));
        var hum = new Hum(_model.Noise, SampleRateHz, Chance("hum", track));
        var motion = new TapeMotion(_plan, _options);
        var gainDb = _model.CaptureOperatingLevelDbfs + track * _model.Tracks.BalanceDb + _options.CaptureGainDb;
        var gain = (float)(Conversions.DbToAmplitude(gainDb) * (_options.IsPolarityInverted ? -1 : 1));
        var hint = 0;
        for (var from = 0; from < samples.Length; from += BlockFrames)
        {
            var block = samples.AsSpan(from, Math.Min(BlockFrames, samples.Length - from));
            for (var i = 0; i < block.Length; i++)
            {
                var captureSeconds = (from + i) / TrueRateHz;
                var sendSeconds = _plan.Path.SendAt(captureSeconds - delay.At(captureSeconds), ref hint);
                places[i] = sendSeconds * _recording.SampleRateHz + Recording.MarginFrames;
            }
            sinc.Read(_recording.Tracks[track], places.AsSpan(0, block.Length), block);
            grain.Apply(block);
            motion.FadeSound(block, from, TrueRateHz);
            DropoutList.Apply(trueDropouts, block, from, TrueRateHz);
            hiss.AddTo(block, motion.HissGains(from, block.Length, TrueRateHz));
            hum.AddTo(block, from);
            for (var i = 0; i < block.Length; i++)
                block[i] = gain * block[i] + (float)_options.DcOffset;
        }
        AddLeak(samples, send, gain);
        var clicks = AddClicks(samples, channel);
        var clock = TrueRateHz / SampleRateHz;
        return new CapturedTrack(
            samples,
            _plan.Path.Truth(_plan.SendSeconds, _options.TruthStepSeconds, delay, clock),
            clock == 1 ? trueDropouts : [.. trueDropouts.Select(d => d with { CaptureSeconds = d.CaptureSeconds * clock })],
            clicks
        );
    }

    private Dice Chance(string purpose, int track) => new(_seed, $"{purpose} {_options.ReplayNumber}", track);

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

    // The leak passes the interface only: no tape, no filter, and a whole number of frames late where both rates are one.
    private void AddLeak(float[] samples, float[] send, float gain)
    {
        if (double.IsNegativeInfinity(_options.DryLeakDb))
            return;
        var level = gain * (float)Conversions.DbToAmplitude(_options.DryLeakDb + _options.RecordGainDb - _model.SendOperatingLevelDbfs);
        var places = new double[BlockFrames];
        var leak = new float[BlockFrames];
        var sinc = new DirectSinc();
        for (var from = 0; from < samples.Length; from += BlockFrames)
        {
            var count = Math.Min(BlockFrames, samples.Length - from);
            for (var i = 0; i < count; i++)
                places[i] = (double)(from + i - LeakFrame) * _recording.SampleRateHz / SampleRateHz;
            sinc.Read(send, places.AsSpan(0, count), leak.AsSpan(0, count));
            for (var i = 0; i < count; i++)
                samples[from + i] += level * leak[i];
        }
    }

    private List<SimulatedClick> AddClicks(float[] samples, int channel)
    {
        var clicks = new List<SimulatedClick>();
        if (_options.ClicksPerMinute <= 0)
            return clicks;
        var dice = Chance("clicks", channel);
        var seconds = 0.0;
        while (true)
        {
            seconds += -Math.Log(1 - dice.Uniform()) * 60 / _options.ClicksPerMinute;
            var height = dice.Sign() * dice.LogUniform(0.02, 0.6);
            var first = (int)Math.Min(samples.Length, Math.Ceiling(seconds * SampleRateHz));
            if (first >= samples.Length)
                return clicks;
            clicks.Add(new SimulatedClick(channel, (double)first / SampleRateHz, height));
            var count = (int)Math.Min(samples.Length - first, 12 * ClickDecaySeconds * SampleRateHz);
            for (var i = 0; i < count; i++)
                samples[first + i] += (float)(height * Math.Exp(-i / (ClickDecaySeconds * SampleRateHz)));
        }
    }
}
