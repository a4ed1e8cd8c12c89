namespace Offtape.Simulator;

/// <summary>
/// The speed of one run of tape against nominal (1 = nominal), straight between equally spaced values. Straight pieces make the position an
/// exact sum of parabolas, and its inverse exact as well, so that what a run does to time is known without any error of integration.
/// </summary>
internal sealed class SpeedCurve
{
    /// <summary>Values in a second of run time: flutter to 200 Hz keeps its size within 1 % on straight pieces.</summary>
    internal const int RateHz = 2000;

    /// <summary>Tape that stands still is made to creep: a time map has to go on rising.</summary>
    internal const double SlowestRatio = 1e-4;

    private const double Step = 1.0 / RateHz;

    private readonly double[] _speed;
    private readonly double[] _position;

    internal SpeedCurve(double[] speedRatio)
    {
        _speed = speedRatio;
        _position = new double[speedRatio.Length];
        for (var i = 0; i < _speed.Length; i++)
        {
            _speed[i] = Math.Max(SlowestRatio, _speed[i]);
            if (i > 0)
                _position[i] = _position[i - 1] + (_speed[i - 1] + _speed[i]) * (0.5 * Step);
        }
    }

    internal double LengthSeconds => (_speed.Length - 1) * Step;

    internal double LengthOfTapeSeconds => _position[^1];

    /// <summary>Speed against nominal at a moment of the run; held beyond its ends.</summary>
    internal double SpeedAt(double runSeconds)
    {
        var place = runSeconds * RateHz;
        if (place <= 0)
            return _speed[0];
        if (place >= _speed.Length - 1)
            return _speed[^1];
        var k = (int)place;
        return _speed[k] + (place - k) * (_speed[k + 1] - _speed[k]);
    }

    /// <summary>Tape gone by since the run began, in seconds at nominal speed.</summary>
    internal double PositionAt(double runSeconds)
    {
        var place = runSeconds * RateHz;
        if (place <= 0)
            return runSeconds * _speed[0];
        if (place >= _speed.Length - 1)
            return _position[^1] + (runSeconds - LengthSeconds) * _speed[^1];
        var k = (int)place;
        var s = place - k;
        return _position[k] + Step * s * (_speed[k] + 0.5 * s * (_speed[k + 1] - _speed[k]));
    }

    /// <summary>When a piece of tape goes by: the exact inverse of <see cref="PositionAt"/>.</summary>
    /// <param name="position">Seconds of tape at nominal speed.</param>
    /// <param name="hint">A segment near the answer, for walking along; start with 0 and pass it on.</param>
    internal double TimeAt(double position, ref int hint)
    {
        if (position <= 0)
            return position / _speed[0];
        if (position >= _position[^1])
            return LengthSeconds + (position - _position[^1]) / _speed[^1];
        var k = Find(position, hint);
        hint = k;
        var q = (position - _position[k]) * RateHz;
        var change = _speed[k + 1] - _speed[k];
        // s·v + s²·change/2 = q, in the form that does not cancel.
        var s = 2 * q / (_speed[k] + Math.Sqrt(Math.Max(0, _speed[k] * _speed[k] + 2 * change * q)));
        return (k + s) * Step;
    }

    internal double TimeAt(double position)
    {
        var hint = 0;
        return TimeAt(position, ref hint);
    }

    private int Find(double position, int hint)
    {
        var k = Math.Clamp(hint, 0, _position.Length - 2);
        for (var tries = 0; tries < 4; tries++)
        {
            if (position < _position[k])
                k--;
            else if (position >= _position[k + 1])
                k++;
            else
                return k;
        }
        var found = Array.BinarySearch(_position, position);
        return Math.Clamp(found >= 0 ? found : ~found - 1, 0, _position.Length - 2);
    }
}
