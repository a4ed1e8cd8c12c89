using Offtape.Passes.Finding;
using Offtape.Passes.Listening;

namespace Offtape.Passes.Following;

/// <summary>A point that a path goes through.</summary>
/// <param name="SourceSeconds">Tracker seconds of the source.</param>
/// <param name="CaptureSeconds">Where it is heard.</param>
/// <param name="Speed">Source seconds per capture second about there.</param>
/// <param name="SigmaSeconds">How well the point is known.</param>
internal readonly record struct PathAnchor(double SourceSeconds, double CaptureSeconds, double Speed, double SigmaSeconds = 1e-3);

/// <summary>One source and one capture on the bench of one thread: recognises, follows, judges.</summary>
internal sealed class TakeFollower : IDisposable
{
    // Below this nothing was recognised: noise of 0.3 s reaches 0.1.
    private const double FaintestStrength = 0.12;

    private readonly SourceSound _source;
    private readonly CaptureSound _capture;
    private readonly Ear _sourceEar;
    private readonly Ear _captureEar;
    private readonly Ear _sourceBackEar;
    private readonly Ear _captureBackEar;
    private readonly LevelCurve[] _levels;
    private readonly LevelCurve?[] _backLevels;
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
        _sourceBackEar = new Ear(source.Recording, nominalSpeed, !isReversed);
        _captureBackEar = new Ear(capture.Recording, isReversed: true);
        _levels =
            nominalSpeed == 1 && !isReversed
                ? source.Levels
                : [.. Enumerable.Range(0, _sourceEar.ChannelCount).Select(c => LevelCurve.Of(_sourceEar.Channel(c), default))];
        _backLevels = new LevelCurve?[_levels.Length];
    }

    internal double SourceLength => _source.LengthSeconds / _nominalSpeed;

    /// <summary>Recognises a stretch of the source near a guess; the best places over all the channels, strongest first.</summary>
    /// <param name="sourceChannel">Where to take the stretch from.</param>
    /// <param name="captureChannels">Where to look.</param>
    /// <param name="stretchStart">Start of the stretch in tracker seconds.</param>
    /// <param name="stretchLength">Its length.</param>
    /// <param name="guess">Where it should begin in the capture.</param>
    /// <param name="reach">How far from there.</param>
    /// <param name="speeds">Speeds to try, near 1.</param>
    /// <param name="most">How many places to give at most.</param>
    internal List<(Place Place, int CaptureChannel)> Recognise(
        int sourceChannel,
        IReadOnlyList<int> captureChannels,
        double stretchStart,
        double stretchLength,
        double guess,
        double reach,
        ReadOnlySpan<double> speeds,
        int most = 1
    )
    {
        var all = new List<(Place Place, int CaptureChannel)>();
        foreach (var channel in captureChannels)
        {
            var source = _sourceEar.Channel(sourceChannel);
            var places = _search.Find(source, stretchStart, stretchLength, _captureEar.Channel(channel), guess, reach, speeds, most);
            all.AddRange(places.Select(p => (p, channel)));
        }
        all.Sort((a, b) => b.Place.Strength.CompareTo(a.Place.Strength));
        return all.Count > most ? all[..most] : all;
    }

    /// <summary>How well a guess looks in the waveform, 0 to 1, without following it.</summary>
    internal double Glance(double stretchFrom, double stretchTo, double captureOfZero, double speed, double reach, double speedReach)
    {
        var channel = _source.LoudestChannel;
        var stretch = StretchChoice.LengthIn(stretchTo - stretchFrom);
        var start = StretchChoice.Liveliest(_levels[channel], stretchFrom, stretchTo, stretch);
        var channels = Enumerable.Range(0, _captureEar.ChannelCount).ToArray();
        var places = Recognise(channel, channels, start, stretch, captureOfZero + start / speed, reach, Ladder(speed, speedReach, 0.002));
        return places.Count == 0 ? 0 : places[0].Place.Strength;
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
    /// <param name="isGuess">True where most such guesses are wrong: a longer piece is judged before the whole of a long source.</param>
    internal FollowedTake? Follow(
        double stretchFrom,
        double stretchTo,
        double captureOfZero,
        double speed,
        double reach,
        double speedReach,
        IReadOnlyList<int>? captureChannels,
        double judgeSeconds,
        CancellationToken cancellation,
        bool isGuess = false
    )
    {
        captureChannels ??= [.. Enumerable.Range(0, _captureEar.ChannelCount)];
        var sourceChannel = _source.LoudestChannel;
        var level = _levels[sourceChannel];
        var stretch = StretchChoice.LengthIn(stretchTo - stretchFrom);
        var start = StretchChoice.Liveliest(level, stretchFrom, stretchTo, stretch);
        var rivals = Rivals(sourceChannel, captureChannels, start, stretch, captureOfZero + start / speed, reach, speed, speedReach);
        var from = Math.Max(0, start - judgeSeconds / 2);
        var to = Math.Min(SourceLength, from + judgeSeconds);
        var pieces = new List<(FollowedTake Take, PathAnchor Anchor)>();
        var tried = 0;
        foreach (var (place, channel) in rivals)
        {
            if (place.Strength < FaintestStrength || place.Strength < FaintestRival * rivals[0].Place.Strength)
                break;
            // At a wrong place all rivals are hopeless: no need to see the rest of them fail.
            if (tried++ >= HopelessTries && pieces.Count == 0)
                return null;
            var settled = Settle(sourceChannel, channel, level, start, stretch, place);
            var anchor = new PathAnchor(start, place.CaptureSeconds, settled);
            var piece = Track(sourceChannel, channel, place.Polarity, anchor, from, to, cancellation);
            if (piece is null || piece.Evidence.Score < EarlyScore)
                continue;
            pieces.Add((piece, anchor));
            if (piece.Evidence.Score > SureScore)
                break;
        }
        if (pieces.Count == 0)
            return null;
        pieces.Sort((x, y) => y.Take.Evidence.Score.CompareTo(x.Take.Evidence.Score));
        if (from <= 0 && to >= SourceLength)
            return pieces[0].Take;
        // Where a piece leaves it open, the whole decides.
        FollowedTake? best = null;
        foreach (var (piece, anchor) in pieces.Take(MostWholes))
        {
            if (piece.Evidence.Score < pieces[0].Take.Evidence.Score - OpenScore)
                break;
            if (best is not null && Math.Abs(best.Curve.CaptureAt(start) - piece.Curve.CaptureAt(start)) < 0.2e-3)
                continue;
            // The piece knows the mean speed better than the stretches did.
            var (a, b) = (piece.Curve.CaptureAt(piece.FirstHeard), piece.Curve.CaptureAt(piece.LastHeard));
            var sharper = anchor with
            {
                CaptureSeconds = piece.Curve.CaptureAt(start),
                Speed = (piece.LastHeard - piece.FirstHeard) / (b - a),
            };
            // A note or a bar may fit by chance; hardly what comes before and after it as well.
            if (isGuess && SourceLength > 2 * LongerPiece * judgeSeconds)
            {
                var longerFrom = Math.Clamp(start - LongerPiece * judgeSeconds / 2, 0, SourceLength - LongerPiece * judgeSeconds);
                var longerTo = longerFrom + LongerPiece * judgeSeconds;
                var longer = Track(sourceChannel, piece.CaptureChannel, piece.Polarity, sharper, longerFrom, longerTo, cancellation);
                if (longer is null || longer.Evidence.Score < EarlyScore)
                    continue;
            }
            var whole = Track(sourceChannel, piece.CaptureChannel, piece.Polarity, sharper, 0, SourceLength, cancellation);
            // A good piece of a bad whole: the path was lost on the way. A calmer tape is easier to keep hold of through the quiet.
            if ((whole?.Evidence.Score ?? 0) < LostWhole * piece.Evidence.Score)
            {
                var calm = Track(sourceChannel, piece.CaptureChannel, piece.Polarity, sharper, 0, SourceLength, cancellation, CalmWander);
                whole = (calm?.Evidence.Score ?? 0) > (whole?.Evidence.Score ?? 0) ? calm : whole;
            }
            if (whole is not null && whole.Evidence.Score > (best?.Evidence.Score ?? 0))
                best = whole;
        }
        return best;
    }

    private const double LongerPiece = 5;
    private const double LostWhole = 0.8;
    private const double CalmWander = 0.0015;
    private const int MostWholes = 3;
    private const double OpenScore = 0.04;

    /// <summary>
    /// What may be the place of a stretch. A short sound that glides (a drum) fits about as well a little earlier and faster: there every
    /// speed brings its own rivals, and following them decides.
    /// </summary>
    private List<(Place Place, int CaptureChannel)> Rivals(
        int sourceChannel,
        IReadOnlyList<int> captureChannels,
        double start,
        double stretch,
        double guess,
        double reach,
        double speed,
        double speedReach
    )
    {
        if (SourceLength > ShortSeconds || speedReach < 0.001)
            return Recognise(sourceChannel, captureChannels, start, stretch, guess, reach, Ladder(speed, speedReach, 0.001), MostRivals);
        var rivals = new List<(Place Place, int CaptureChannel)>();
        foreach (var each in Ladder(speed, speedReach, 0.002))
            rivals.AddRange(Recognise(sourceChannel, captureChannels, start, stretch, guess, reach, [each], 4));
        rivals.Sort((x, y) => y.Place.Strength.CompareTo(x.Place.Strength));
        return rivals.Count > MostShortRivals ? rivals[..MostShortRivals] : rivals;
    }

    private const double ShortSeconds = 1;
    private const int MostRivals = 10;
    private const int HopelessTries = 5;
    private const int MostShortRivals = 28;
    private const double FaintestRival = 0.65;
    private const double SureScore = 0.965;
    private const double EarlyScore = 0.35;

    /// <summary>Tracks from an anchor to both sides and judges what was tracked.</summary>
    internal FollowedTake? Track(
        int sourceChannel,
        int captureChannel,
        int polarity,
        PathAnchor anchor,
        double fromSource,
        double toSource,
        CancellationToken cancellation,
        double? wanderSigma = null
    )
    {
        var settings = new PathSettings { StartSigmaSeconds = anchor.SigmaSeconds, SpeedSigma = 2e-3 };
        if (wanderSigma is { } sigma)
            settings = settings with { WanderSigma = sigma, SpeedSigma = 3e-4 };
        var path = AcrossRests(sourceChannel, captureChannel, polarity, anchor, fromSource, toSource, settings, cancellation);
        return Judge(path, sourceChannel, captureChannel, polarity, fromSource, toSource, cancellation);
    }

    /// <summary>Through rests as well.</summary>
    private TrackedPath AcrossRests(
        int sourceChannel,
        int captureChannel,
        int polarity,
        PathAnchor anchor,
        double fromSource,
        double toSource,
        PathSettings settings,
        CancellationToken cancellation
    )
    {
        var level = _levels[sourceChannel];
        var ladder = Ladder(anchor.Speed, RestSpeedReach, 0.002);
        return new RestCrosser(
            level,
            (from, island, how) => FromAnchor(sourceChannel, captureChannel, polarity, from, island.From, island.To, how, cancellation),
            (start, stretch, guess, reach) =>
                Recognise(sourceChannel, [captureChannel], start, stretch, guess, reach, ladder)
                    .Select(found => found.Place)
                    .FirstOrDefault(found => found.Polarity == polarity && found.Strength >= FaintestStrength)
        ).Cross(Island.Of(level, fromSource, toSource), anchor, settings);
    }

    // A tape's wow at the moment.
    private const double RestSpeedReach = 6e-3;

    private TrackedPath FromAnchor(
        int sourceChannel,
        int captureChannel,
        int polarity,
        PathAnchor anchor,
        double fromSource,
        double toSource,
        PathSettings settings,
        CancellationToken cancellation
    )
    {
        var level = _levels[sourceChannel];
        var source = _sourceEar.Channel(sourceChannel);
        var capture = _captureEar.Channel(captureChannel, polarity);
        var tracker = new PathTracker(WorkingSignal.UsualRateHz, settings);
        var path = tracker.Follow(
            source,
            level,
            capture,
            anchor.CaptureSeconds,
            anchor.SourceSeconds,
            anchor.Speed,
            toSource,
            cancellation
        );
        if (anchor.SourceSeconds > fromSource + 0.03)
        {
            var backLevel = _backLevels[sourceChannel] ??= level.Backwards();
            var (sourceEnd, captureEnd) = (EndOf(_source.Recording) / _nominalSpeed, EndOf(_capture.Recording));
            var back = tracker.Follow(
                _sourceBackEar.Channel(sourceChannel),
                backLevel,
                _captureBackEar.Channel(captureChannel, polarity),
                captureEnd - anchor.CaptureSeconds,
                sourceEnd - anchor.SourceSeconds,
                anchor.Speed,
                sourceEnd - fromSource,
                cancellation
            );
            path = TrackedPath.Join(back, sourceEnd, captureEnd, path);
        }
        return path;
    }

    /// <summary>
    /// Follows a take under a hand that moves: from a stretch near its beginning and from one near its end, both over the whole, joined where
    /// the one is lost and the other holds.
    /// </summary>
    /// <param name="captureOfZero">Where its beginning should lie.</param>
    /// <param name="captureOfEnd">Where its end should lie.</param>
    /// <param name="startSpeed">Speed about its beginning.</param>
    /// <param name="endSpeed">Speed about its end.</param>
    /// <param name="cancellation">Stops it.</param>
    internal FollowedTake? FollowHandled(
        double captureOfZero,
        double captureOfEnd,
        double startSpeed,
        double endSpeed,
        CancellationToken cancellation
    )
    {
        var sourceChannel = _source.LoudestChannel;
        var edge = Math.Min(EdgeSeconds, SourceLength / 2);
        var head = Anchor(sourceChannel, 0, edge, s => captureOfZero + s / startSpeed, startSpeed);
        var tail = Anchor(sourceChannel, SourceLength - edge, SourceLength, s => captureOfEnd - (SourceLength - s) / endSpeed, endSpeed);
        if (head is null || tail is null)
            return null;
        FollowedTake? best = null;
        foreach (var wander in HandledWander)
        {
            var settings = new PathSettings
            {
                WanderSigma = wander,
                WanderSeconds = HandledSeconds,
                SpeedSigma = 5e-3,
                HypothesisCount = 12,
            };
            TrackedPath From((PathAnchor Anchor, int Channel, int Polarity) a) =>
                FromAnchor(sourceChannel, a.Channel, a.Polarity, a.Anchor, 0, SourceLength, settings, cancellation);
            var path = PathJoiner.Join(From(head.Value), From(tail.Value));
            var take = Judge(path, sourceChannel, head.Value.Channel, head.Value.Polarity, 0, SourceLength, cancellation);
            if (take is not null && take.Evidence.Score > (best?.Evidence.Score ?? 0))
                best = take;
            if (best is { LostShare: < HeldShare })
                break;
        }
        return best;
    }

    private (PathAnchor Anchor, int Channel, int Polarity)? Anchor(
        int sourceChannel,
        double from,
        double to,
        Func<double, double> guess,
        double speed
    )
    {
        var channels = Enumerable.Range(0, _captureEar.ChannelCount).ToArray();
        var stretch = StretchChoice.LengthIn(to - from);
        var start = StretchChoice.Liveliest(_levels[sourceChannel], from, to, stretch);
        var places = Recognise(sourceChannel, channels, start, stretch, guess(start), HandledReach, Ladder(speed, 0.02, 0.002));
        if (places.Count == 0 || places[0].Place.Strength < FaintestStrength)
            return null;
        var (place, channel) = places[0];
        return (new PathAnchor(start, place.CaptureSeconds, place.Speed), channel, place.Polarity);
    }

    private const double EdgeSeconds = 1.5;
    private const double HandledReach = 0.25;
    private const double HandledSeconds = 2;
    private const double HeldShare = 0.1;
    private static readonly double[] HandledWander = [0.06, 0.2];

    private FollowedTake? Judge(
        TrackedPath path,
        int sourceChannel,
        int captureChannel,
        int polarity,
        double fromSource,
        double toSource,
        CancellationToken cancellation
    )
    {
        if (PathCurve.From(path) is not { } curve)
            return null;
        var (source, level) = (_sourceEar.Channel(sourceChannel), _levels[sourceChannel]);
        var capture = _captureEar.Channel(captureChannel, polarity);
        // A capture that began late or ended early holds only a part.
        var first = Math.Max(fromSource, curve.CaptureAt(fromSource) >= 0 ? fromSource : curve.SourceAt(0));
        var last = Math.Min(
            toSource,
            curve.CaptureAt(toSource) <= _capture.LengthSeconds ? toSource : curve.SourceAt(_capture.LengthSeconds)
        );
        if (first > last - 0.03)
            return null;
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
            Stands = path.Stands,
            FirstHeard = first,
            LastHeard = last,
        };
    }

    private static double EndOf(Recording recording) => (double)(recording.FrameCount - 1) / recording.Format.SampleRateHz;

    /// <summary>
    /// Other stretches, near and then farther, bind the line: one of 0.3 s knows the speed to a part in a thousand only.
    /// </summary>
    private double Settle(int sourceChannel, int channel, LevelCurve level, double start, double stretch, Place place)
    {
        var (anchorSource, anchorCapture, speed) = (start, place.CaptureSeconds, place.Speed);
        Span<double> steps = [0.4, 1.2, 3];
        foreach (var step in steps)
        {
            // Whichever side has more sound to offer.
            var after = StretchChoice.Loudest(level, start + 0.6 * step, Math.Min(SourceLength, start + 1.4 * step + stretch), stretch);
            var before = StretchChoice.Loudest(level, Math.Max(0, start - 1.4 * step), start - 0.6 * step + stretch, stretch);
            var best = default(Place);
            var bestSource = 0.0;
            Span<double> candidates = [after, before];
            foreach (var candidate in candidates)
            {
                var distance = candidate - start;
                if (Math.Abs(distance) < 0.5 * step || candidate < 0 || candidate + stretch > SourceLength + 0.01)
                    continue;
                var found = Recognise(
                        sourceChannel,
                        [channel],
                        candidate,
                        stretch,
                        anchorCapture + distance / speed,
                        1.5e-3 + 2.5e-3 * Math.Abs(distance),
                        [speed]
                    )
                    .Select(f => f.Place)
                    .FirstOrDefault();
                if (found.Polarity == place.Polarity && found.Strength > best.Strength && found.Strength > 0.5 * place.Strength)
                    (best, bestSource) = (found, candidate);
            }
            if (best.Strength < FaintestStrength)
                continue;
            var measured = (bestSource - anchorSource) / (best.CaptureSeconds - anchorCapture);
            if (Math.Abs(measured - speed) < 0.006)
                speed = measured;
        }
        return speed;
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
        _sourceBackEar.Dispose();
        _captureBackEar.Dispose();
    }
}
