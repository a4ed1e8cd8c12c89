using Offtape.Tape;

namespace Offtape.Simulator;

/// <summary>
/// The way of a moment through tape: written by the record run, read by the replay run (or by a second head of the same run). All of it in
/// closed form both ways. Times: send seconds count from the send's first frame, capture seconds from the capture's first frame.
/// </summary>
internal sealed class TapePath
{
    private readonly SpeedCurve _record;
    private readonly SpeedCurve _replay;
    private readonly double _recordStartSeconds;
    private readonly double _replayStartSeconds;
    private readonly double _replayTapeSeconds;
    private readonly double _direction;

    /// <param name="record">The run that records.</param>
    /// <param name="replay">The run that replays; the same object off tape.</param>
    /// <param name="recordStartSeconds">Run time of the record run at the send's first frame.</param>
    /// <param name="replayStartSeconds">Run time of the replay run at the capture's first frame.</param>
    /// <param name="replayTapeSeconds">Place on the tape that is under the replay head when the replay run begins, in nominal seconds.</param>
    /// <param name="isReversed">The tape moves backwards in the replay run.</param>
    internal TapePath(
        SpeedCurve record,
        SpeedCurve replay,
        double recordStartSeconds,
        double replayStartSeconds,
        double replayTapeSeconds,
        bool isReversed
    )
    {
        _record = record;
        _replay = replay;
        _recordStartSeconds = recordStartSeconds;
        _replayStartSeconds = replayStartSeconds;
        _replayTapeSeconds = replayTapeSeconds;
        _direction = isReversed ? -1 : 1;
    }

    /// <summary>Where on the tape a moment of the send was written, in seconds at nominal speed.</summary>
    internal double TapeAtSend(double sendSeconds) => _record.PositionAt(sendSeconds + _recordStartSeconds);

    /// <summary>Which place of the tape is under the replay head.</summary>
    internal double TapeAtCapture(double captureSeconds) =>
        _replayTapeSeconds + _direction * _replay.PositionAt(captureSeconds + _replayStartSeconds);

    internal double SendAt(double captureSeconds, ref int hint) =>
        _record.TimeAt(TapeAtCapture(captureSeconds), ref hint) - _recordStartSeconds;

    internal double SendAtTape(double tapeSeconds) => _record.TimeAt(tapeSeconds) - _recordStartSeconds;

    internal double CaptureAt(double sendSeconds, ref int hint) =>
        _replay.TimeAt(_direction * (TapeAtSend(sendSeconds) - _replayTapeSeconds), ref hint) - _replayStartSeconds;

    internal double CaptureAt(double sendSeconds)
    {
        var hint = 0;
        return CaptureAt(sendSeconds, ref hint);
    }

    /// <summary>Speed of the tape past the replay head against nominal.</summary>
    internal double ReplaySpeedAt(double captureSeconds) => _replay.SpeedAt(captureSeconds + _replayStartSeconds);

    /// <summary>Pitch of the capture against the send at a moment of the capture.</summary>
    internal double PitchAt(double captureSeconds)
    {
        var hint = 0;
        return PitchAt(captureSeconds, ref hint);
    }

    internal double PitchAt(double captureSeconds, ref int hint)
    {
        var send = SendAt(captureSeconds, ref hint);
        return ReplaySpeedAt(captureSeconds) / _record.SpeedAt(send + _recordStartSeconds);
    }

    /// <summary>The true map of one track, send seconds to capture seconds as the recorder's clock counts them.</summary>
    internal TimeMap Truth(double lengthSeconds, double stepSeconds, TrackDelay delay, double clock)
    {
        // A length of whole steps is one of them less a hair, or more: the hair is no step of its own.
        var steps = Math.Max(1, (int)Math.Ceiling(lengthSeconds / stepSeconds - 1e-6));
        var (source, capture) = (new double[steps + 1], new double[steps + 1]);
        var hint = 0;
        for (var i = 0; i <= steps; i++)
        {
            source[i] = i == steps && lengthSeconds > 0 ? lengthSeconds : i * stepSeconds;
            capture[i] = delay.Arrival(CaptureAt(source[i], ref hint)) * clock;
        }
        return new TimeMap(source, capture);
    }
}
