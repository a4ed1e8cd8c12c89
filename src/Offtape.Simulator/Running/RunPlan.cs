using Offtape.Tape;

namespace Offtape.Simulator;

/// <summary>The two runs of one print, drawn and scaled to what the model states, and how long the capture is.</summary>
internal sealed class RunPlan
{
    // The readout of wow and flutter needs some seconds whatever the length of the send, and no more than some minutes.
    private const double ShortestReadingSeconds = 30;
    private const double LongestReadingSeconds = 600;
    private const int ReadingRateHz = 1000;
    private const double RollSeconds = 2;

    private readonly MachineModel _model;
    private readonly RunOptions _options;
    private readonly ulong _seed;
    private readonly double _sendSeconds;

    internal RunPlan(MachineModel model, ulong seed, RunOptions options, double sendSeconds)
    {
        (_model, _seed, _options, _sendSeconds) = (model, seed, options, sendSeconds);
        if (options.IsReversed && model.Monitoring == Monitoring.OffTape)
            throw new ArgumentException("A tape cannot be heard backwards while it is being recorded.", nameof(options));
        if (options.ReplaySpeedRatio != 1 && model.Monitoring == Monitoring.OffTape)
            throw new ArgumentException("Off tape there is one speed for recording and replay.", nameof(options));
        var dice = new Dice(seed, "start " + ReplayName);
        LeadSeconds = options.LeadSeconds + options.LeadScatterSeconds * dice.Uniform();
        var runToRun = 1 + new Dice(seed, "speed " + ReplayName).Sign() * model.Transport.RunToRunSpeedPercent / 100;
        MeanReplayRatio = model.Monitoring == Monitoring.OffTape ? 1 : options.ReplaySpeedRatio * runToRun;
        HeadDelaySeconds = model.Monitoring == Monitoring.OffTape ? model.Transport.HeadDistanceMm / 10 / model.SpeedCmPerSecond : 0;
        Path = Scaled();
        CaptureSeconds = Math.Max(0.1, EndOfSend() + options.TailSeconds);
    }

    internal TapePath Path { get; private set; }

    /// <summary>Capture seconds at which the send's beginning (its end, when reversed) is heard at nominal speed.</summary>
    internal double LeadSeconds { get; }

    internal double MeanReplayRatio { get; }

    internal double HeadDelaySeconds { get; }

    internal double CaptureSeconds { get; }

    internal double WowFlutterPercent { get; private set; }

    private string ReplayName => $"replay {_options.ReplayNumber}";

    private double EndOfSend() => Math.Max(Path.CaptureAt(0), Path.CaptureAt(_sendSeconds));

    private TapePath Scaled()
    {
        var transport = _model.Transport;
        var recordSeconds =
            RollSeconds
            + HeadDelaySeconds
            + Math.Max(0, LeadSeconds)
            + Math.Max(ShortestReadingSeconds, _sendSeconds)
            + _options.TailSeconds
            + 5;
        var replaySeconds =
            Math.Max(0, LeadSeconds) + Math.Max(ShortestReadingSeconds, _sendSeconds) / MeanReplayRatio * 1.03 + _options.TailSeconds + 5;
        var recordCount = (int)(recordSeconds * SpeedCurve.RateHz) + 2;
        var replayCount = (int)(replaySeconds * SpeedCurve.RateHz) + 2;
        var recordDrift = Wobble.DrawDrift(transport, _seed, "record", recordCount);
        var recordWobble = Wobble.Draw(transport, _seed, "record", recordCount);
        var replayDrift = IsOffTape ? [] : Wobble.DrawDrift(transport, _seed, ReplayName, replayCount);
        var replayWobble = IsOffTape ? [] : Wobble.Draw(transport, _seed, ReplayName, replayCount);
        if (transport.WowFlutterPercent == 0)
            return PathAt(0);

        // The figure grows with the scale but for the second order: three rounds of proportion leave less than a thousandth.
        var scale = 0.1;
        for (var round = 0; round < 4; round++)
        {
            WowFlutterPercent = ReadingOf(PathAt(scale));
            if (WowFlutterPercent == 0)
                throw new ArgumentException("A model with wow and flutter needs a share of something that wobbles.", nameof(_model));
            if (round < 3)
                scale *= transport.WowFlutterPercent / WowFlutterPercent;
        }
        return PathAt(scale);

        TapePath PathAt(double scale)
        {
            var record = Curve(recordWobble, recordDrift, scale, 1);
            if (IsOffTape)
            {
                var start = RollSeconds + HeadDelaySeconds + Math.Max(0, LeadSeconds);
                return new TapePath(record, record, start, start + HeadDelaySeconds - LeadSeconds, -HeadDelaySeconds, false);
            }
            var replay = Curve(replayWobble, replayDrift, scale, MeanReplayRatio);
            var lead = replay.PositionAt(LeadSeconds);
            var begin = record.PositionAt(RollSeconds + (_options.IsReversed ? _sendSeconds : 0));
            return new TapePath(record, replay, RollSeconds, 0, _options.IsReversed ? begin + lead : begin - lead, _options.IsReversed);
        }
    }

    private bool IsOffTape => _model.Monitoring == Monitoring.OffTape;

    private static SpeedCurve Curve(double[] wobble, double[] drift, double scale, double mean)
    {
        var speed = new double[wobble.Length];
        for (var i = 0; i < speed.Length; i++)
            speed[i] = mean * (1 + 0.01 * (scale * wobble[i] + drift[i]));
        return new SpeedCurve(speed);
    }

    private double ReadingOf(TapePath path)
    {
        var seconds = Math.Clamp(_sendSeconds, ShortestReadingSeconds, LongestReadingSeconds) / MeanReplayRatio;
        var deviation = new double[(int)(seconds * ReadingRateHz)];
        var from = Math.Max(0, LeadSeconds);
        for (var i = 0; i < deviation.Length; i++)
            deviation[i] = (path.PitchAt(from + (double)i / ReadingRateHz) / MeanReplayRatio - 1) * 100;
        return WowFlutterMeter.Read(deviation, ReadingRateHz).WeightedTwoSigmaPercent;
    }
}
