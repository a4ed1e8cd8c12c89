using Offtape.Passes.Finding;
using Offtape.Passes.Listening;

namespace Offtape.Passes.Following;

/// <summary>One source and one capture on the bench of one thread: recognises, follows, judges.</summary>
internal sealed class TakeFollower : IDisposable
{
    private const double StretchSeconds = 0.3;

    // Below this nothing was recognised: noise of 0.3 s reaches 0.1.
    private const double FaintestStrength = 0.12;

    private readonly SourceSound _source;
    private readonly CaptureSound _capture;
    private readonly Ear _sourceEar;
    private readonly Ear _captureEar;
    private readonly LevelCurve[] _levels;
    private readonly PlaceSearch _search = new(WorkingSignal.UsualRateHz);
    private readonly EvidenceMeter _meter = new(WorkingSignal.UsualRateHz);
    private readonly double _nominalSpeed;
    private readonly bool _isReversed;

    /// <param name="source">What is looked for.</param>
    /// <param name="capture">Where.</param>
    /// <param name="nominalSpeed">Source seconds per capture second, roughly.</param>
    /// <param name="isReversed">The source is heard backwards.</param>
    internal TakeFollower(SourceSound source, CaptureSound capture, double nominalSpeed = 1, bool isReversed = false)
    {
        (_source, _capture, _nominalSpeed, _isReversed) = (source, capture, nominalSpeed, isReversed);
        _sourceEar = new Ear(source.Recording, nominalSpeed, isReversed);
        _captureEar = new Ear(capture.Recording);
        _levels =
            nominalSpeed == 1 && !isReversed
                ? source.Levels
                : [.. Enumerable.Range(0, _sourceEar.ChannelCount).Select(c => LevelCurve.Of(_sourceEar.Channel(c), default))];
    }

    internal double SourceLength => _source.LengthSeconds / _nominalSpeed;

    /// <summary>
    /// Recognises a stretch of the source near a guess, on the best pair of channels.
    /// </summary>
    /// <param name="sourceChannel">Where to take the stretch from.</param>
    /// <param name="captureChannels">Where to look.</param>
    /// <param name="stretchStart">Start of the stretch in tracker seconds.</param>
    /// <param name="stretchLength">Its length.</param>
    /// <param name="guess">Where it should begin in the capture.</param>
    /// <param name="reach">How far from there.</param>
    /// <param name="speeds">Speeds to try, near 1.</param>
    internal (Place Place, int CaptureChannel) Recognise(
        int sourceChannel,
        IReadOnlyList<int> captureChannels,
        double stretchStart,
        double stretchLength,
        double guess,
        double reach,
        ReadOnlySpan<double> speeds
    )
    {
        var best = (Place: default(Place), CaptureChannel: captureChannels[0]);
        foreach (var channel in captureChannels)
        {
            var place = _search.Find(
                _sourceEar.Channel(sourceChannel),
                stretchStart,
                stretchLength,
                _captureEar.Channel(channel),
                guess,
                reach,
                speeds
            );
            if (place.Strength > best.Place.Strength)
                best = (place, channel);
        }
        return best;
    }

    /// <summary>
    /// From a guess of where a stretch of the source lies to a followed take; null where nothing was recognised.
    /// </summary>
    /// <param name="stretchFrom">The stretch is chosen from here …</param>
    /// <param name="stretchTo">… to here (tracker seconds of the source).</param>
    /// <param name="captureOfZero">Where source time 0 should lie in the capture, by the guess.</param>
    /// <param name="speed">Speed by the guess, near 1.</param>
    /// <param name="reach">How far the guess may be off, seconds.</param>
    /// <param name="speedReach">How far its speed may be off, as a ratio.</param>
    /// <param name="captureChannels">Where to look; null for all.</param>
    /// <param name="judgeSeconds">First judge a piece of this length; give up early where it fails.</param>
    /// <param name="cancellation">Stops it.</param>
    internal FollowedTake? Follow(
        double stretchFrom,
        double stretchTo,
        double captureOfZero,
        double speed,
        double reach,
        double speedReach,
        IReadOnlyList<int>? captureChannels,
        double judgeSeconds,
        CancellationToken cancellation
    )
    {
        captureChannels ??= [.. Enumerable.Range(0, _captureEar.ChannelCount)];
        var sourceChannel = _source.LoudestChannel;
        var level = _levels[sourceChannel];
        var stretch = Math.Min(StretchSeconds, Math.Max(0.06, stretchTo - stretchFrom));
        var start = LoudestStretch(level, stretchFrom, stretchTo, stretch);
        var (place, channel) = Recognise(
            sourceChannel,
            captureChannels,
            start,
            stretch,
            captureOfZero + start / speed,
            reach,
            Ladder(speed, speedReach, 0.001)
        );
        if (place.Strength < FaintestStrength)
            return null;
        (var zero, speed) = Settle(sourceChannel, channel, level, start, stretch, place);
        var from = Math.Max(0, start - judgeSeconds / 2);
        var to = Math.Min(SourceLength, from + judgeSeconds);
        if (to - from < SourceLength * 0.7)
        {
            var piece = Track(sourceChannel, channel, place.Polarity, level, zero, speed, from, to, cancellation);
            if (piece is null || piece.Evidence.Score < EarlyScore)
                return null;
            // The piece says where the whole begins, better than one stretch could.
            zero = piece.Curve.CaptureAt(from) - from / speed;
            var (a, b) = (piece.Curve.CaptureAt(from), piece.Curve.CaptureAt(to));
            speed = (to - from) / (b - a);
            zero = a - from / speed;
        }
        return Track(sourceChannel, channel, place.Polarity, level, zero, speed, 0, SourceLength, cancellation);
    }

    private const double EarlyScore = 0.35;

    /// <summary>Tracks from a known place and judges what was tracked.</summary>
    internal FollowedTake? Track(
        int sourceChannel,
        int captureChannel,
        int polarity,
        LevelCurve level,
        double zero,
        double speed,
        double fromSource,
        double toSource,
        CancellationToken cancellation
    )
    {
        var source = _sourceEar.Channel(sourceChannel);
        var capture = _captureEar.Channel(captureChannel, polarity);
        // A capture that began late holds only what came after.
        var first = Math.Max(fromSource, -zero * speed);
        if (first > toSource - 0.05)
            return null;
        var tracker = new PathTracker(WorkingSignal.UsualRateHz, new PathSettings { StartSigmaSeconds = 3e-3, SpeedSigma = 2e-3 });
        var path = tracker.Follow(source, level, capture, zero + first / speed, first, speed, toSource, cancellation);
        if (PathCurve.From(path) is not { } curve)
            return null;
        var captureEnd = _capture.LengthSeconds;
        var last = Math.Min(toSource, curve.LastSource);
        if (curve.CaptureAt(last) > captureEnd)
            last = Math.Min(last, curve.FirstSource + (captureEnd - curve.CaptureAt(curve.FirstSource)) * speed);
        var evidence = _meter.Measure(source, level, capture, _capture.Noise[captureChannel], curve, first, last, cancellation);
        return new FollowedTake
        {
            Source = _source,
            Capture = _capture,
            SourceChannel = sourceChannel,
            CaptureChannel = captureChannel,
            Polarity = polarity,
            NominalSpeed = _nominalSpeed,
            IsReversed = _isReversed,
            Curve = curve,
            Evidence = evidence,
            LostShare = path.LostShare,
            MeanStrength = path.MeanStrength,
            FirstHeard = first,
            LastHeard = last,
        };
    }

    /// <summary>
    /// Other stretches, near and then farther, bind the line: one of 0.3 s knows the speed to a part in a thousand only.
    /// </summary>
    private (double Zero, double Speed) Settle(int sourceChannel, int channel, LevelCurve level, double start, double stretch, Place place)
    {
        var (anchorSource, anchorCapture, speed) = (start, place.CaptureSeconds, place.Speed);
        Span<double> steps = [0.4, 1.2, 3];
        foreach (var step in steps)
        {
            // Whichever side has more sound to offer.
            var after = LoudestStretch(level, start + 0.6 * step, Math.Min(SourceLength, start + 1.4 * step + stretch), stretch);
            var before = LoudestStretch(level, Math.Max(0, start - 1.4 * step), start - 0.6 * step + stretch, stretch);
            var best = default(Place);
            var bestSource = 0.0;
            Span<double> candidates = [after, before];
            foreach (var candidate in candidates)
            {
                var distance = candidate - start;
                if (Math.Abs(distance) < 0.5 * step || candidate < 0 || candidate + stretch > SourceLength + 0.01)
                    continue;
                var (found, _) = Recognise(
                    sourceChannel,
                    [channel],
                    candidate,
                    stretch,
                    anchorCapture + distance / speed,
                    1.5e-3 + 2.5e-3 * Math.Abs(distance),
                    [speed]
                );
                if (found.Polarity == place.Polarity && found.Strength > best.Strength && found.Strength > 0.5 * place.Strength)
                    (best, bestSource) = (found, candidate);
            }
            if (best.Strength < FaintestStrength)
                continue;
            var measured = (bestSource - anchorSource) / (best.CaptureSeconds - anchorCapture);
            if (Math.Abs(measured - speed) < 0.006)
                speed = measured;
        }
        return (anchorCapture - anchorSource / speed, speed);
    }

    private static double LoudestStretch(LevelCurve level, double from, double to, double length)
    {
        var step = LevelCurve.StepSeconds;
        var frames = Math.Max(1, (int)(length / step));
        var (first, end) = (Math.Max(0, (int)(from / step)), (int)(to / step));
        var (best, bestSum) = (first, double.NegativeInfinity);
        for (var start = first; start == first || start + frames <= Math.Min(end, level.Count); start++)
        {
            double sum = 0;
            for (var i = start; i < Math.Min(start + frames, level.Count); i++)
                sum += Math.Max(level[i] - (level.PeakDb - 45), 0);
            if (sum > bestSum)
                (best, bestSum) = (start, sum);
        }
        return best * step;
    }

    private static double[] Ladder(double centre, double reach, double step)
    {
        var count = (int)Math.Ceiling(reach / step);
        var ladder = new double[2 * count + 1];
        for (var i = -count; i <= count; i++)
            ladder[i + count] = centre + i * step;
        return ladder;
    }

    public void Dispose()
    {
        _sourceEar.Dispose();
        _captureEar.Dispose();
    }
}
