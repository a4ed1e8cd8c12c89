using Offtape.Tape;

namespace Offtape.Simulator;

/// <summary>The two runs of one print, drawn and scaled to what the model states, and how long the capture is.</summary>
internal sealed class RunPlan
{
    // The readout of wow and flutter needs some seconds whatever the length of the send, and no more than some minutes.
    private const double ShortestReadingSeconds = 30;
    private const double LongestReadingSeconds = 600;
    private const int ReadingRateHz = 1000;

    // The tape runs this long before the send begins.
    private const double RollSeconds = 2;
    private const double UsualLeadSeconds = 3;

    private readonly MachineModel _model;
    private readonly RunOptions _options;
    private readonly ulong _seed;
    private readonly double _sendSeconds;
    private readonly double _scatter;

    internal RunPlan(MachineModel model, ulong seed, RunOptions options, double sendSeconds)
    {
        (_model, _seed, _options, _sendSeconds) = (model, seed, options, sendSeconds);
        RefuseWhatCannotBe();
        _scatter = new Dice(seed, "start " + ReplayName(options.ReplayNumber)).Uniform();
        LeadSeconds = options.LeadSeconds + options.LeadScatterSeconds * _scatter;
        RunToRun = 1 + new Dice(seed, "speed " + ReplayName(options.ReplayNumber)).Sign() * model.Transport.RunToRunSpeedPercent / 100;
        MeanReplayRatio = IsOffTape ? 1 : options.ReplaySpeedRatio * RunToRun;
        HeadDelaySeconds = IsOffTape ? model.Transport.HeadDistanceMm / 10 / model.SpeedCmPerSecond : 0;

        var record = Drawn("record", RecordSeconds);
        var replay = IsOffTape ? record : Drawn(ReplayName(options.ReplayNumber), ReplaySeconds);
        var scale = ScaleFor(record, IsOffTape ? record : Drawn(ReplayName(1), UsualReplaySeconds));
        WowFlutterPercent =
            scale == 0 ? 0 : Reading(Uneventful(record, replay, scale, LeadSeconds, MeanReplayRatio), LeadSeconds, MeanReplayRatio);
        Path = Joined(record, replay, scale, LeadSeconds, MeanReplayRatio, RecordEvents, ReplayEvents, options.IsReversed);
        CaptureSeconds = Math.Max(0.1, Math.Max(Path.CaptureAt(0), Path.CaptureAt(sendSeconds)) + options.TailSeconds);
    }

    internal TapePath Path { get; }

    /// <summary>Capture seconds at which the send's beginning (its end, when reversed) is heard at nominal speed.</summary>
    internal double LeadSeconds { get; }

    internal double RunToRun { get; }

    internal double MeanReplayRatio { get; }

    internal double HeadDelaySeconds { get; }

    internal double CaptureSeconds { get; }

    internal double SendSeconds => _sendSeconds;

    internal double WowFlutterPercent { get; }

    /// <summary>The tape stands still somewhere: level and noise have to follow its speed.</summary>
    internal bool HasStops => _options.RecordStops.Count + _options.ReplayStops.Count > 0;

    private bool IsOffTape => _model.Monitoring == Monitoring.OffTape;

    private TransportEvents RecordEvents => new(_options.RecordRide, _options.RecordStops);

    private TransportEvents ReplayEvents => new(_options.ReplayRide, _options.ReplayStops);

    private double RecordStart => RollSeconds + (IsOffTape ? HeadDelaySeconds + Math.Max(0, LeadSeconds) : 0);

    private double ReadSeconds => Math.Max(ShortestReadingSeconds, _sendSeconds);

    private double RecordSeconds =>
        RecordStart + ReadSeconds + Math.Max(0, _options.TailSeconds) + 5 + RecordEvents.ExtraSeconds(ReadSeconds);

    private double UsualReplaySeconds => UsualLeadSeconds + 1 + Math.Min(ReadSeconds, LongestReadingSeconds) * 1.05 + 8;

    private double ReplaySeconds =>
        Math.Max(0, LeadSeconds)
        + ReadSeconds * 1.05 / MeanReplayRatio
        + Math.Max(0, _options.TailSeconds)
        + 5
        + ReplayEvents.ExtraSeconds(ReadSeconds / MeanReplayRatio);

    private static string ReplayName(int number) => $"replay {number}";

    private void RefuseWhatCannotBe()
    {
        if (!IsOffTape)
        {
            if (!double.IsNegativeInfinity(_options.DryLeakDb))
                throw new ArgumentException("The send plays beside the tape only off tape.", "options");
            return;
        }
        if (_options.IsReversed)
            throw new ArgumentException("A tape cannot be heard backwards while it is being recorded.", "options");
        if (_options.ReplaySpeedRatio != 1 || _options.ReplayRide.Count + _options.ReplayStops.Count > 0)
            throw new ArgumentException("Off tape there is one run: its rides and stops are those of recording.", "options");
    }

    private (double[] Wobble, double[] Drift) Drawn(string run, double seconds)
    {
        var count = (int)(seconds * SpeedCurve.RateHz) + 2;
        var (wobble, drift) = (Array.Empty<double>(), Array.Empty<double>());
        Parallel.Invoke(
            () => wobble = Wobble.Draw(_model.Transport, _seed, run, count),
            () => drift = Wobble.DrawDrift(_model.Transport, _seed, run, count)
        );
        return (wobble, drift);
    }

    /// <summary>
    /// How much the drawn wobble has to be multiplied by so that the stated figure is met. It is found on an uneventful first replay, so that
    /// what stands on the tape is the same for every replay of it.
    /// </summary>
    private double ScaleFor((double[] Wobble, double[] Drift) record, (double[] Wobble, double[] Drift) replay)
    {
        var wanted = _model.Transport.WowFlutterPercent;
        if (wanted == 0)
            return 0;
        var lead = UsualLeadSeconds + 0.9 * new Dice(_seed, "start " + ReplayName(1)).Uniform();
        // The figure grows with the scale but for the second order: rounds of proportion settle at once.
        var scale = 0.1;
        for (var round = 0; round < 3; round++)
        {
            var got = Reading(Uneventful(record, replay, scale, lead, 1), lead, 1);
            if (got == 0)
                throw new ArgumentException("A model with wow and flutter needs a share of something that wobbles.", nameof(record));
            scale *= wanted / got;
        }
        return scale;
    }

    /// <summary>A run without rides and stops, only as long as a reading needs.</summary>
    private TapePath Uneventful(
        (double[] Wobble, double[] Drift) record,
        (double[] Wobble, double[] Drift) replay,
        double scale,
        double leadSeconds,
        double meanReplayRatio
    )
    {
        var quiet = new TransportEvents([], []);
        var count = (int)((RecordStart + Math.Max(0, leadSeconds) + LongestReadingSeconds * 1.05 + 20) * SpeedCurve.RateHz);
        return Joined(record, replay, scale, leadSeconds, meanReplayRatio, quiet, quiet, false, count);
    }

    private TapePath Joined(
        (double[] Wobble, double[] Drift) record,
        (double[] Wobble, double[] Drift) replay,
        double scale,
        double leadSeconds,
        double meanReplayRatio,
        TransportEvents recordEvents,
        TransportEvents replayEvents,
        bool isReversed,
        int longestCount = int.MaxValue
    )
    {
        var recordCurve = Curve(record, scale, 1, recordEvents, RecordStart, longestCount);
        if (IsOffTape)
            return new TapePath(
                recordCurve,
                recordCurve,
                RecordStart,
                RecordStart + HeadDelaySeconds - leadSeconds,
                -HeadDelaySeconds,
                false
            );
        var replayCurve = Curve(replay, scale, meanReplayRatio, replayEvents, 0, longestCount);
        var lead = replayCurve.PositionAt(leadSeconds);
        var begin = recordCurve.PositionAt(RollSeconds + (isReversed ? _sendSeconds : 0));
        return new TapePath(recordCurve, replayCurve, RollSeconds, 0, isReversed ? begin + lead : begin - lead, isReversed);
    }

    private static SpeedCurve Curve(
        (double[] Wobble, double[] Drift) drawn,
        double scale,
        double mean,
        TransportEvents events,
        double zeroSeconds,
        int longestCount
    )
    {
        var speed = new double[Math.Min(drawn.Wobble.Length, longestCount)];
        for (var i = 0; i < speed.Length; i++)
            speed[i] = mean * (1 + 0.01 * (scale * drawn.Wobble[i] + drawn.Drift[i]));
        if (!events.IsEmpty)
        {
            for (var i = 0; i < speed.Length; i++)
                speed[i] *= events.FactorAt((double)i / SpeedCurve.RateHz - zeroSeconds);
        }
        return new SpeedCurve(speed);
    }

    private double Reading(TapePath path, double leadSeconds, double meanReplayRatio)
    {
        var seconds = Math.Clamp(_sendSeconds, ShortestReadingSeconds, LongestReadingSeconds) / meanReplayRatio;
        var deviation = new double[(int)(seconds * ReadingRateHz)];
        var from = Math.Max(0, leadSeconds);
        for (var i = 0; i < deviation.Length; i++)
            deviation[i] = (path.PitchAt(from + (double)i / ReadingRateHz) / meanReplayRatio - 1) * 100;
        return WowFlutterMeter.Read(deviation, ReadingRateHz).WeightedTwoSigmaPercent;
    }
}
