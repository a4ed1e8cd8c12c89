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

    private readonly MachineModel _model;
    private readonly RunOptions _options;
    private readonly RunOptions _scaledFor;
    private readonly ulong _seed;
    private readonly double _sendSeconds;

    /// <param name="model">The machine.</param>
    /// <param name="seed">The print's seed.</param>
    /// <param name="options">What happens in this replay.</param>
    /// <param name="scaledFor">
    /// The replay whose reading is made to be the stated figure: the one named when the tape was recorded. What stands on the tape must not
    /// depend on how often it is replayed, and the wobbles of two runs add up differently in every replay, from nothing to twice one run's.
    /// </param>
    /// <param name="sendSeconds">Length of the send.</param>
    internal RunPlan(MachineModel model, ulong seed, RunOptions options, RunOptions scaledFor, double sendSeconds)
    {
        (_model, _seed, _options, _scaledFor, _sendSeconds) = (model, seed, options, scaledFor, sendSeconds);
        RefuseWhatCannotBe();
        LeadSeconds = LeadOf(options);
        MeanReplayRatio = IsOffTape ? 1 : options.ReplaySpeedRatio * RunToRunOf(options);
        HeadDelaySeconds = IsOffTape ? model.Transport.HeadDistanceMm / 10 / model.SpeedCmPerSecond : 0;

        var record = Drawn("record", RecordSeconds);
        var replay = IsOffTape ? record : Drawn(ReplayName(options), Math.Max(ReplaySeconds, UsualReplaySeconds));
        var isScaledForThis = IsOffTape || options.ReplayNumber == scaledFor.ReplayNumber;
        var scale = ScaleFor(record, isScaledForThis ? replay : Drawn(ReplayName(scaledFor), UsualReplaySeconds));
        WowFlutterPercent = scale == 0 ? 0 : Reading(record, replay, scale, options, MeanReplayRatio);
        Path = Joined(record, replay, scale, LeadSeconds, MeanReplayRatio, RecordEvents, ReplayEvents, options.IsReversed);
        CaptureSeconds = Math.Max(0.1, Math.Max(Path.CaptureAt(0), Path.CaptureAt(sendSeconds)) + options.TailSeconds);
    }

    internal TapePath Path { get; }

    /// <summary>Capture seconds at which the send's beginning (its end, when reversed) is heard at nominal speed.</summary>
    internal double LeadSeconds { get; }

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

    private double UsualReplaySeconds => Math.Max(0, LeadOf(_scaledFor)) + 1 + Math.Min(ReadSeconds, LongestReadingSeconds) * 1.05 + 8;

    private double ReplaySeconds =>
        Math.Max(0, LeadSeconds)
        + ReadSeconds * 1.05 / MeanReplayRatio
        + Math.Max(0, _options.TailSeconds)
        + 5
        + ReplayEvents.ExtraSeconds(ReadSeconds / MeanReplayRatio);

    private static string ReplayName(RunOptions options) => $"replay {options.ReplayNumber}";

    private double LeadOf(RunOptions options) =>
        options.LeadSeconds + options.LeadScatterSeconds * new Dice(_seed, "start " + ReplayName(options)).Uniform();

    private double RunToRunOf(RunOptions options) =>
        1 + new Dice(_seed, "speed " + ReplayName(options)).Sign() * _model.Transport.RunToRunSpeedPercent / 100;

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

    /// <summary>How much the drawn wobble has to be multiplied by so that the stated figure is met.</summary>
    private double ScaleFor((double[] Wobble, double[] Drift) record, (double[] Wobble, double[] Drift) replay)
    {
        var wanted = _model.Transport.WowFlutterPercent;
        if (wanted == 0)
            return 0;
        // The figure grows with the scale but for the second order: two rounds of proportion leave less than a thousandth.
        var scale = wanted;
        for (var round = 0; round < 2; round++)
        {
            var got = Reading(record, replay, scale, _scaledFor, IsOffTape ? 1 : RunToRunOf(_scaledFor));
            if (got == 0)
                throw new ArgumentException("A model with wow and flutter needs a share of something that wobbles.", nameof(record));
            scale *= wanted / got;
        }
        return scale;
    }

    /// <summary>What a meter reads of an uneventful run, over what it hears of the send: at least 30 seconds, at most ten minutes.</summary>
    private double Reading(
        (double[] Wobble, double[] Drift) record,
        (double[] Wobble, double[] Drift) replay,
        double scale,
        RunOptions options,
        double meanReplayRatio
    )
    {
        var lead = LeadOf(options);
        var quiet = new TransportEvents([], []);
        var longestCount = (int)((RecordStart + Math.Max(0, lead) + LongestReadingSeconds * 1.05 + 20) * SpeedCurve.RateHz);
        var path = Joined(
            record,
            replay,
            scale,
            lead,
            meanReplayRatio,
            quiet,
            quiet,
            options.IsReversed && _sendSeconds < LongestReadingSeconds,
            longestCount
        );
        var seconds = Math.Clamp(_sendSeconds, ShortestReadingSeconds, LongestReadingSeconds) / meanReplayRatio;
        var deviation = new double[(int)(seconds * ReadingRateHz)];
        var from = Math.Max(0, lead);
        var hint = 0;
        for (var i = 0; i < deviation.Length; i++)
            deviation[i] = (path.PitchAt(from + (double)i / ReadingRateHz, ref hint) / meanReplayRatio - 1) * 100;
        return WowFlutterMeter.Read(deviation, ReadingRateHz).WeightedTwoSigmaPercent;
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
}
