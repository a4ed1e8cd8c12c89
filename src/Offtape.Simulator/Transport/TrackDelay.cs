namespace Offtape.Simulator;

/// <summary>
/// How late one track is against the first, by the azimuth of the heads against each other: a fixed part and a slow wander of the tape
/// between its guides, as a function of capture time.
/// </summary>
internal sealed class TrackDelay
{
    private const double WanderRateHz = 50;

    private readonly double _fixedSeconds;
    private readonly double[] _wanderSeconds;
    private readonly double _startSeconds;

    /// <param name="fixedSeconds">The steady delay; positive is late.</param>
    /// <param name="wanderRmsSeconds">Root mean square of the wander.</param>
    /// <param name="lengthSeconds">How long a stretch of capture is covered, from <paramref name="startSeconds"/>.</param>
    /// <param name="startSeconds">Where the stretch begins.</param>
    /// <param name="dice">Chance for the wander, the same for every track: they are on one tape.</param>
    internal TrackDelay(double fixedSeconds, double wanderRmsSeconds, double startSeconds, double lengthSeconds, Dice dice)
    {
        _fixedSeconds = fixedSeconds;
        _startSeconds = startSeconds;
        _wanderSeconds = wanderRmsSeconds == 0 ? [] : new double[(int)Math.Ceiling(lengthSeconds * WanderRateHz) + 2];
        // Two relaxations of 0.4 s in a row: smooth enough that its speed stays far below flutter.
        const double corner = 0.4;
        var keep = Math.Exp(-2 * Math.PI * corner / WanderRateHz);
        var (first, second) = (0.0, 0.0);
        // Power of the cascade driven by white noise of variance 1: (1 − k)⁴·(1 + k²)/(1 − k²)³.
        var power = Math.Pow(1 - keep, 4) * (1 + keep * keep) / Math.Pow(1 - keep * keep, 3);
        var scale = wanderRmsSeconds / Math.Sqrt(power);
        for (var i = -500; i < _wanderSeconds.Length; i++)
        {
            first += (1 - keep) * (dice.Normal() - first);
            second += (1 - keep) * (first - second);
            if (i >= 0)
                _wanderSeconds[i] = scale * second;
        }
    }

    /// <summary>How late the track is at a moment of the capture.</summary>
    internal double At(double captureSeconds)
    {
        if (_wanderSeconds.Length == 0)
            return _fixedSeconds;
        var place = Math.Clamp((captureSeconds - _startSeconds) * WanderRateHz, 0, _wanderSeconds.Length - 1.000001);
        var k = (int)place;
        return _fixedSeconds + _wanderSeconds[k] + (place - k) * (_wanderSeconds[k + 1] - _wanderSeconds[k]);
    }

    /// <summary>When it is heard on this track what the first track would give at a moment: the solution of c = m + delay(c).</summary>
    internal double Arrival(double firstTrackSeconds)
    {
        // The delay changes by less than a thousandth of itself over its own length: three rounds leave nothing.
        var arrival = firstTrackSeconds;
        for (var i = 0; i < 4; i++)
            arrival = firstTrackSeconds + At(arrival);
        return arrival;
    }
}
