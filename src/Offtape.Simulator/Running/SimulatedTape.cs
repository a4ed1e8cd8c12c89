using Offtape.Base;

namespace Offtape.Simulator;

/// <summary>A recorded tape. Every replay hears the same recording, dropouts and record-side wobble, and adds its own.</summary>
public sealed class SimulatedTape
{
    private readonly MachineModel _model;
    private readonly ulong _seed;
    private readonly RunOptions _recordOptions;
    private readonly float[][] _send;
    private readonly int _sampleRateHz;
    private readonly Lazy<Recording> _recording;

    internal SimulatedTape(MachineModel model, ulong seed, RunOptions recordOptions, float[][] send, int sampleRateHz)
    {
        (_model, _seed, _recordOptions, _send, _sampleRateHz) = (model, seed, recordOptions, send, sampleRateHz);
        _recording = new Lazy<Recording>(() => Recording.Of(model, recordOptions, send, sampleRateHz));
    }

    /// <summary>
    /// Replays the tape into a capture. The model's wow and flutter figure is met by the replay whose number and lead were given when the tape
    /// was recorded; others read more or less, as the wobble of their run falls on that of the recording.
    /// </summary>
    /// <param name="options">
    /// What happens in this replay; what belongs to recording (stops, ride and gain of recording, leader, end of tape) is as it was recorded.
    /// </param>
    public SimulatedReturn Replay(RunOptions? options = null)
    {
        options = (options ?? new RunOptions()) with
        {
            RecordStops = _recordOptions.RecordStops,
            RecordRide = _recordOptions.RecordRide,
            RecordGainDb = _recordOptions.RecordGainDb,
            LeaderSeconds = _recordOptions.LeaderSeconds,
            TapeEndsSeconds = _recordOptions.TapeEndsSeconds,
        };
        var tracks = options.CaptureTracks ?? [.. Enumerable.Range(0, _send.Length)];
        foreach (var track in tracks)
        {
            if (track < 0 || track >= _send.Length)
                throw new ArgumentException($"Track {track} is not among the {_send.Length} of the send.", nameof(options));
        }
        if (options.IsMonitorOnSource)
            return SourceMonitor.Run(_model, _seed, options, _send, _sampleRateHz, tracks);

        var sendSeconds = Conversions.FramesToSeconds(_send[0].Length, _sampleRateHz);
        var plan = new RunPlan(_model, _seed, options, _recordOptions, sendSeconds);
        var replay = new Replay(_model, _seed, options, plan, _recording.Value);
        var captured = new CapturedTrack[tracks.Count];
        Parallel.For(0, tracks.Count, i => captured[i] = replay.Capture(tracks[i], i, _send[tracks[i]]));
        return Interface.Finish(_model, options, replay, plan, captured, tracks);
    }
}
