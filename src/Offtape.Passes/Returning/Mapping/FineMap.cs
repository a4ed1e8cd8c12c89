using Offtape.Base;
using Offtape.Passes.Following;
using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>The fine time map of a take: its coarse path refined section by section.</summary>
internal sealed class FineMap
{
    private const double SectionSeconds = 60;
    private const double LongestSectionSeconds = 240;
    private const double LeastSoundSeconds = 15;
    private const double QuietDb = 40;
    private const double OverlapSeconds = 4;
    private const double MarginSeconds = 0.3;
    private const double KnotSeconds = 0.005;
    private const double CloseKnotSeconds = 0.0025;
    private const int HissWindows = 150;
    private const double LeastCoherence = 0.05;
    private const double ShortestSeconds = 0.1;
    private const double LongestRestSeconds = 30;
    private const double FaintQuantile = 0.97;
    private const double FaintSeconds = 15e-6;

    // Frames of music are less independent than the solver takes them for, and what the take got wrong of the machine's response is wrong in
    // all of them: measured over 200 passes (perf/results/maps.md).
    private const double SoundDoubt = 1.3;
    private const double SharedDoubt = 0.7;
    private const double EdgeSeconds = 0.1;
    private const double CoastSeconds = 0.3;
    private const double DieSeconds = 0.03;

    // The level of 10 ms against the peak sample: the scale need not be exact.
    private const double PeakOverLevel = 1.5;

    private readonly FollowedTake _take;
    private readonly double _gain;
    private readonly double _peak;
    private readonly ChannelMatch? _twin;
    private readonly double _twinDelaySeconds;
    private float[] _hiss = [];
    private bool _isStripe;
    private List<SectionMap> _maps = [];

    private FineMap(FollowedTake take, ChannelMatch match, ChannelMatch? twin)
    {
        (_take, _gain, _twin) = (take, match.Gain, twin);
        _twinDelaySeconds = twin is null ? 0 : twin.DelaySeconds - match.DelaySeconds;
        _peak = Conversions.DbToAmplitude(take.Source.Levels[take.SourceChannel].PeakDb) * PeakOverLevel;
    }

    /// <summary>Of the machine's response, by this take.</summary>
    internal ResponseEvidence Evidence => _maps.Skip(1).Aggregate(_maps[0].Evidence, (sum, map) => sum.With(map.Evidence));

    /// <summary>How much of the capture the source does not explain.</summary>
    internal Remainder Remainder => new(_maps.Average(m => m.Grid.Remainder.OfGoodBands), _maps.Average(m => m.Grid.Remainder.OfPower));

    internal double TrebleShare => _maps.Average(m => m.TrebleShare);

    /// <summary>The take along the map, as far as it is.</summary>
    internal FollowedTake Take => _take with { Curve = Curve() };

    /// <summary>The first passes, by the take itself, along the channel that its loudest source channel came back in.</summary>
    /// <returns>Null where the take is too short or too faint to be refined.</returns>
    internal static FineMap? Begin(FollowedTake take, ChannelMatches matches, CancellationToken cancellation)
    {
        var match = matches.Channels.First(c => c.SourceChannel == take.SourceChannel);
        if (take.LastHeard - take.FirstHeard < ShortestSeconds || match.Coherence < LeastCoherence || match.Gain <= 0)
            return null;
        var coarse = take with
        {
            CaptureChannel = match.CaptureChannel,
            Polarity = match.Polarity,
            Curve = take.Curve.Shifted(match.DelaySeconds),
        };
        var map = new FineMap(coarse, match, matches.Twin);
        map._maps = map.EachSection(false, (section, _) => MapRefiner.Begin(section, coarse.Curve, cancellation));
        return map;
    }

    /// <summary>The last passes.</summary>
    /// <param name="shared">What all takes of the pass know of the machine; null for this take's own.</param>
    /// <param name="cancellation">Stops it.</param>
    /// <param name="detail">How closely to look.</param>
    internal void Finish(ResponseEvidence? shared, CancellationToken cancellation, MapDetail detail = MapDetail.Flutter)
    {
        _isStripe = detail == MapDetail.Stripe;
        // Two channels hiss apart; they also wander apart, by less than what a faint sound leaves open.
        var isFaint = _maps.Exists(m => m.Grid.SigmaSecondsAt(FaintQuantile) > FaintSeconds);
        _maps = EachSection(
            isFaint && _twin is not null,
            (section, i) => MapRefiner.Finish(section, _maps[i], shared, cancellation, detail)
        );
    }

    /// <summary>How the take lies against a guide, section by section.</summary>
    /// <param name="guide">In the take's tracker time.</param>
    /// <param name="lagSeconds">How much later the take is, as far as it is known.</param>
    /// <param name="shared">As of <see cref="Finish"/>.</param>
    /// <param name="cancellation">Stops it.</param>
    internal IReadOnlyList<SectionMap> Against(PathCurve guide, double lagSeconds, ResponseEvidence? shared, CancellationToken cancellation)
    {
        var coarse = guide.Shifted(lagSeconds);
        return EachSection(false, (section, i) => MapRefiner.Against(section, coarse, _maps[i], shared, cancellation), guide);
    }

    private List<SectionMap> EachSection(bool withTwin, Func<MapSection, int, SectionMap> map, PathCurve? guide = null)
    {
        using var sourceEar = new Ear(_take.Source.Recording, _take.NominalSpeed, _take.IsReversed, MapSection.RateHz);
        using var captureEar = new Ear(_take.Capture.Recording, rateHz: MapSection.RateHz);
        var source = sourceEar.Channel(_take.SourceChannel);
        var capture = captureEar.Channel(_take.CaptureChannel, _take.Polarity);
        var twin = withTwin ? captureEar.Channel(_twin!.CaptureChannel, _twin.Polarity) : null;
        _hiss = Hiss(capture, twin);
        var maps = new List<SectionMap>();
        foreach (var (first, last) in Stretches())
        {
            for (
                var (from, to) = (first, SectionEnd(first, last));
                ;
                (from, to) = (to - OverlapSeconds, SectionEnd(to - OverlapSeconds, last))
            )
            {
                maps.Add(map(Load(source, capture, twin, from, to, first, last, guide), maps.Count));
                if (to >= last)
                    break;
            }
        }
        return maps;
    }

    /// <summary>Short sections keep memory small; where little sounds they are longer, so that each has something to hold on to.</summary>
    private double SectionEnd(double from, double last)
    {
        var level = _take.Source.Levels[_take.SourceChannel];
        for (var to = from + SectionSeconds; ; to += SectionSeconds)
        {
            if (last - to < LongestRestSeconds)
                return last;
            double sounding = 0;
            for (var s = from; s < to; s += 0.1)
                sounding += level.DbAt(_take.ToSourceFileSeconds(s)) > level.PeakDb - QuietDb ? 0.1 : 0;
            if (sounding >= LeastSoundSeconds || to - from >= LongestSectionSeconds)
                return to;
        }
    }

    /// <summary>What is heard, without the stops of the tape.</summary>
    private IEnumerable<(double First, double Last)> Stretches()
    {
        var first = _take.FirstHeard;
        foreach (var stand in _take.Stands)
        {
            if (stand.FromSource - first > ShortestSeconds && _take.LastHeard - stand.ToSource > ShortestSeconds)
            {
                yield return (first, stand.FromSource);
                first = stand.ToSource;
            }
        }
        yield return (first, _take.LastHeard);
    }

    private MapSection Load(
        WorkingSignal source,
        WorkingSignal capture,
        WorkingSignal? twin,
        double from,
        double to,
        double first,
        double last,
        PathCurve? guide
    )
    {
        const double rate = MapSection.RateHz;
        var firstFrame = (long)Math.Floor((from - 0.05) * rate);
        var count = (int)Math.Ceiling((to - from + 0.1) * rate);
        var sound = new float[count];
        source.Read(firstFrame, sound);
        Scale(sound, 1 / _peak);
        var captureFrom = (long)Math.Floor((_take.Curve.CaptureAt(firstFrame / rate) - MarginSeconds) * rate);
        var captureTo = (long)Math.Ceiling((_take.Curve.CaptureAt((firstFrame + count) / rate) + MarginSeconds) * rate);
        return new MapSection
        {
            Source = sound,
            SourceStart = firstFrame / rate,
            Capture = Listen(capture, twin, captureFrom, (int)(captureTo - captureFrom)),
            CaptureStartFrame = captureFrom,
            HissDensity = _hiss,
            FirstHeard = first,
            LastHeard = last,
            StartsFromStand = first > _take.FirstHeard,
            EndsInStand = last < _take.LastHeard,
            Guide = guide,
        };
    }

    /// <summary>The capture levelled to the source; with the twin, the mean of both in time with the first.</summary>
    private float[] Listen(WorkingSignal capture, WorkingSignal? twin, long from, int count)
    {
        var heard = new float[count];
        capture.Read(from, heard);
        Scale(heard, 1 / (_peak * _gain));
        if (twin is null)
            return heard;
        var margin = Retimer.HalfWidthFrames(1) + (int)Math.Ceiling(Math.Abs(_twinDelaySeconds) * MapSection.RateHz) + 1;
        var (raw, other) = (new float[count + 2 * margin], new float[count]);
        twin.Read(from - margin, raw);
        Retimer.RenderFixed(raw, -margin, _twinDelaySeconds * MapSection.RateHz, 1, other);
        var share = (float)(1 / (_peak * _twin!.Gain));
        for (var i = 0; i < count; i++)
            heard[i] = 0.5f * (heard[i] + share * other[i]);
        return heard;
    }

    private static void Scale(float[] signal, double gain)
    {
        for (var i = 0; i < signal.Length; i++)
            signal[i] *= (float)gain;
    }

    /// <summary>Mean power of the quiet windows, hum and all.</summary>
    private float[] Hiss(WorkingSignal capture, WorkingSignal? twin)
    {
        const int length = MapSection.LongWindowFrames;
        var transform = new RealTransform(length);
        var window = new float[length];
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        Windows.Hann(window, WindowForm.Periodic);
        var energy = window.Sum(w => (double)w * w);
        var power = new double[transform.BinCount];
        var quiet = _take.Capture.Noise[_take.CaptureChannel].QuietSeconds;
        var used = 0;
        foreach (var seconds in quiet.Take(HissWindows))
        {
            var block = Listen(capture, twin, (long)(seconds * MapSection.RateHz), length);
            for (var i = 0; i < length; i++)
                block[i] *= window[i];
            transform.Forward(block, re, im);
            for (var k = 0; k < power.Length; k++)
                power[k] += (re[k] * re[k] + im[k] * im[k]) / energy;
            used++;
        }
        var density = new float[power.Length];
        for (var k = 0; k < power.Length; k++)
            density[k] = (float)Math.Max(power[k] / Math.Max(used, 1), 1e-12);
        return density;
    }

    /// <summary>Sections joined, the one fading into the other where they overlap, at knots close enough for any curve between them.</summary>
    private PathCurve Curve()
    {
        var (first, last, step) = (_take.FirstHeard, _take.LastHeard, _isStripe ? CloseKnotSeconds : KnotSeconds);
        var count = Math.Max(2, (int)Math.Ceiling((last - first) / step) + 1);
        var (source, capture, sigma) = (new double[count], new double[count], new double[count]);
        var at = 0;
        for (var i = 0; i < count; i++)
        {
            var s = source[i] = i == count - 1 ? last : first + i * step;
            while (at + 1 < _maps.Count && s > EndOf(at))
                at++;
            (capture[i], sigma[i]) = _maps[at].At(s);
            if (StandAt(s) is { } stand)
            {
                // What was heard while the tape slowed and stood cannot be told apart: a straight line, and no claim.
                var (before, after) = (_maps.Last(m => m.LastHeard <= stand.FromSource), _maps.First(m => m.FirstHeard >= stand.ToSource));
                var (a, b) = (before.At(stand.FromSource).Capture, after.At(stand.ToSource).Capture);
                capture[i] = a + (b - a) * (s - stand.FromSource) / Math.Max(stand.ToSource - stand.FromSource, 1e-9);
                sigma[i] = (b - a) / Math.Sqrt(12);
                continue;
            }
            if (at + 1 >= _maps.Count || s <= Math.Max(_maps[at + 1].FirstSeconds + EdgeSeconds, _maps[at + 1].FirstHeard))
                continue;
            var (next, nextSigma) = _maps[at + 1].At(s);
            var (start, end) = (_maps[at + 1].FirstSeconds + EdgeSeconds, _maps[at].LastSeconds - EdgeSeconds);
            var share = Math.Clamp((s - start) / (end - start), 0, 1);
            (capture[i], sigma[i]) = (capture[i] + share * (next - capture[i]), sigma[i] + share * (nextSigma - sigma[i]));
        }
        if (!_isStripe)
        {
            var shared = _maps.Average(m => m.Grid.SigmaSecondsAt(0.5)) is var middle && double.IsFinite(middle) ? SharedDoubt * middle : 0;
            for (var i = 0; i < sigma.Length; i++)
                sigma[i] = Math.Sqrt(SoundDoubt * SoundDoubt * sigma[i] * sigma[i] + shared * shared);
        }
        Coast(source, capture);
        return PathCurve.Of(source, capture, sigma);
    }

    /// <summary>Up to where a section's map is the one to go by: into the next section's overlap, but not across a stop of the tape.</summary>
    private double EndOf(int map) =>
        _maps[map + 1].FirstHeard > _maps[map].LastHeard
            ? _maps[map].LastHeard
            : Math.Min(_maps[map].LastSeconds - EdgeSeconds, _maps[map].LastHeard);

    /// <summary>
    /// Before the first sound and after the last one nothing shows the tape: it goes on at the take's mean speed, into which what it did at the
    /// edge dies away, since wow comes back and a slope of it goes nowhere.
    /// </summary>
    private void Coast(double[] source, double[] capture)
    {
        if (
            _maps[0].Grid.FirstKnownSeconds() is not { } first
            || _maps[^1].Grid.LastKnownSeconds() is not { } last
            || last - first < CoastSeconds
        )
            return;
        var (a, b) = (Array.FindIndex(source, s => s >= first), Array.FindLastIndex(source, s => s <= last));
        if (a < 0 || b - a < 8)
            return;
        var stood = _take.Stands.Sum(t => t.ToCapture - t.FromCapture - (t.ToSource - t.FromSource));
        var rate = (capture[b] - capture[a] - stood) / (source[b] - source[a]);
        var (firstSlope, lastSlope) = (Slope(a), Slope(b - 4));
        for (var i = 0; i < a; i++)
            capture[i] = capture[a] + Away(source[i] - source[a], firstSlope);
        for (var i = b + 1; i < source.Length; i++)
            capture[i] = capture[b] + Away(source[i] - source[b], lastSlope);

        double Slope(int i) => (capture[i + 4] - capture[i]) / (source[i + 4] - source[i]);
        double Away(double seconds, double slope) =>
            rate * seconds + Math.Sign(seconds) * (slope - rate) * DieSeconds * (1 - Math.Exp(-Math.Abs(seconds) / DieSeconds));
    }

    private TapeStand? StandAt(double seconds)
    {
        foreach (var stand in _take.Stands)
        {
            if (seconds > stand.FromSource && seconds < stand.ToSource && _maps.Exists(m => m.FirstHeard == stand.ToSource))
                return stand;
        }
        return null;
    }
}
