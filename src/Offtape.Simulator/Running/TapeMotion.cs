namespace Offtape.Simulator;

/// <summary>
/// What a head hears of tape that slows down, stands, or is no tape at all: a head answers to change, so sound and noise fade with the speed;
/// leader has no coating, and behind the end of a tape only the electronics are heard.
/// </summary>
internal sealed class TapeMotion
{
    // Below this share of its speed a sound fades; above the reciprocal the recording itself was made on slow tape, and fades as well.
    private const double FadeRatio = 0.25;

    // The electronics of a machine lie some 20 dB under its tape.
    private const float ElectronicsGain = 0.1f;

    private readonly RunPlan _plan;
    private readonly double _coatedFromSeconds;
    private readonly double _coatedToSeconds;
    private readonly bool _isAlwaysCoated;
    private float[] _gains = [];

    internal TapeMotion(RunPlan plan, RunOptions options)
    {
        _plan = plan;
        _isAlwaysCoated = options.LeaderSeconds <= 0 && double.IsPositiveInfinity(options.TapeEndsSeconds);
        var leader = options.LeaderSeconds <= 0 ? double.NegativeInfinity : plan.Path.CaptureAt(options.LeaderSeconds);
        var end = double.IsPositiveInfinity(options.TapeEndsSeconds)
            ? double.PositiveInfinity
            : plan.Path.CaptureAt(options.TapeEndsSeconds);
        // Backwards, the end of the tape comes first.
        (_coatedFromSeconds, _coatedToSeconds) = options.IsReversed ? (Flip(end), Flip(leader)) : (leader, end);
    }

    /// <summary>Fades the sound where the tape is slow against the speed at which it was recorded or should be replayed.</summary>
    internal void FadeSound(Span<float> block, long firstFrame, double rateHz)
    {
        if (!_plan.HasStops)
            return;
        for (var i = 0; i < block.Length; i++)
        {
            var captureSeconds = (firstFrame + i) / rateHz;
            var replay = _plan.Path.ReplaySpeedAt(captureSeconds) / _plan.MeanReplayRatio;
            var record = replay * _plan.MeanReplayRatio / _plan.Path.PitchAt(captureSeconds);
            block[i] *= Fade(replay) * Fade(record);
        }
    }

    /// <summary>A gain for each frame's hiss; empty where it is 1 throughout.</summary>
    internal ReadOnlySpan<float> HissGains(long firstFrame, int count, double rateHz)
    {
        if (_isAlwaysCoated && !_plan.HasStops)
            return [];
        if (_gains.Length < count)
            _gains = new float[count];
        for (var i = 0; i < count; i++)
        {
            var captureSeconds = (firstFrame + i) / rateHz;
            var isCoated = captureSeconds >= _coatedFromSeconds && captureSeconds <= _coatedToSeconds;
            var moving = _plan.HasStops ? Fade(_plan.Path.ReplaySpeedAt(captureSeconds) / _plan.MeanReplayRatio) : 1;
            _gains[i] = isCoated ? Math.Max(ElectronicsGain, moving) : ElectronicsGain;
        }
        return _gains.AsSpan(0, count);
    }

    private static float Fade(double speed)
    {
        var s = Math.Clamp(speed / FadeRatio, 0, 1);
        return (float)(s * s * (3 - 2 * s));
    }

    private static double Flip(double seconds) => double.IsInfinity(seconds) ? -seconds : seconds;
}
