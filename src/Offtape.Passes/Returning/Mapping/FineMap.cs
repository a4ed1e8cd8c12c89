using Offtape.Base;
using Offtape.Passes.Following;
using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>The fine time map of a take: its coarse path refined section by section.</summary>
internal sealed class FineMap
{
    private const double SectionSeconds = 240;
    private const double OverlapSeconds = 4;
    private const double MarginSeconds = 0.3;
    private const double KnotSeconds = 0.005;
    private const int HissWindows = 150;
    private const double LeastCoherence = 0.05;
    private const double ShortestSeconds = 0.1;
    private const double LongestRestSeconds = 30;
    private const double EdgeSeconds = 0.1;

    // The level of 10 ms against the peak sample: the scale need not be exact.
    private const double PeakOverLevel = 1.5;

    private readonly FollowedTake _take;
    private readonly double _gain;
    private readonly double _peak;
    private float[]? _hiss;
    private List<SectionMap> _maps = [];

    private FineMap(FollowedTake take, double gain)
    {
        (_take, _gain) = (take, gain);
        _peak = Conversions.DbToAmplitude(take.Source.Levels[take.SourceChannel].PeakDb) * PeakOverLevel;
    }

    /// <summary>Of the machine's response, by this take.</summary>
    internal ResponseEvidence Evidence => _maps.Skip(1).Aggregate(_maps[0].Evidence, (sum, map) => sum.With(map.Evidence));

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
        var map = new FineMap(coarse, match.Gain);
        map._maps = map.EachSection((section, _) => MapRefiner.Begin(section, coarse.Curve, cancellation));
        return map;
    }

    /// <summary>The last passes.</summary>
    /// <param name="shared">What all takes of the pass know of the machine; null for this take's own.</param>
    /// <param name="cancellation">Stops it.</param>
    internal void Finish(ResponseEvidence? shared, CancellationToken cancellation) =>
        _maps = EachSection((section, i) => MapRefiner.Finish(section, _maps[i], shared, cancellation));

    private List<SectionMap> EachSection(Func<MapSection, int, SectionMap> map)
    {
        using var sourceEar = new Ear(_take.Source.Recording, _take.NominalSpeed, _take.IsReversed, MapSection.RateHz);
        using var captureEar = new Ear(_take.Capture.Recording, rateHz: MapSection.RateHz);
        var source = sourceEar.Channel(_take.SourceChannel);
        var capture = captureEar.Channel(_take.CaptureChannel, _take.Polarity);
        _hiss ??= Hiss(capture, _take, 1 / (_gain * _peak));
        var maps = new List<SectionMap>();
        var last = _take.LastHeard;
        for (var from = _take.FirstHeard; ; from += SectionSeconds - OverlapSeconds)
        {
            var to = last - from < SectionSeconds + LongestRestSeconds ? last : from + SectionSeconds;
            maps.Add(map(Load(_take, source, capture, from, to, _peak, _gain, _hiss), maps.Count));
            if (to >= last)
                return maps;
        }
    }

    private static MapSection Load(
        FollowedTake take,
        WorkingSignal source,
        WorkingSignal capture,
        double from,
        double to,
        double peak,
        double gain,
        float[] hiss
    )
    {
        const double rate = MapSection.RateHz;
        var firstFrame = (long)Math.Floor((from - 0.05) * rate);
        var count = (int)Math.Ceiling((to - from + 0.1) * rate);
        var sound = new float[count];
        source.Read(firstFrame, sound);
        Scale(sound, 1 / peak);
        var captureFrom = (long)Math.Floor((take.Curve.CaptureAt(firstFrame / rate) - MarginSeconds) * rate);
        var captureTo = (long)Math.Ceiling((take.Curve.CaptureAt((firstFrame + count) / rate) + MarginSeconds) * rate);
        var heard = new float[captureTo - captureFrom];
        capture.Read(captureFrom, heard);
        Scale(heard, 1 / (peak * gain));
        return new MapSection
        {
            Source = sound,
            SourceStart = firstFrame / rate,
            Capture = heard,
            CaptureStartFrame = captureFrom,
            HissDensity = hiss,
            FirstHeard = take.FirstHeard,
            LastHeard = take.LastHeard,
        };
    }

    private static void Scale(float[] signal, double gain)
    {
        for (var i = 0; i < signal.Length; i++)
            signal[i] *= (float)gain;
    }

    /// <summary>Mean power of the quiet windows, hum and all.</summary>
    private static float[] Hiss(WorkingSignal capture, FollowedTake take, double gain)
    {
        const int length = MapSection.LongWindowFrames;
        var transform = new RealTransform(length);
        var (block, window) = (new float[length], new float[length]);
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        Windows.Hann(window, WindowForm.Periodic);
        var energy = window.Sum(w => (double)w * w);
        var power = new double[transform.BinCount];
        var quiet = take.Capture.Noise[take.CaptureChannel].QuietSeconds;
        var used = 0;
        foreach (var seconds in quiet.Take(HissWindows))
        {
            capture.Read((long)(seconds * MapSection.RateHz), block);
            for (var i = 0; i < length; i++)
                block[i] *= window[i] * (float)gain;
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
        var (first, last) = (_take.FirstHeard, _take.LastHeard);
        var count = Math.Max(2, (int)Math.Ceiling((last - first) / KnotSeconds) + 1);
        var (source, capture, sigma) = (new double[count], new double[count], new double[count]);
        var at = 0;
        for (var i = 0; i < count; i++)
        {
            var s = source[i] = i == count - 1 ? last : first + i * KnotSeconds;
            while (at + 1 < _maps.Count && s > _maps[at].LastSeconds - EdgeSeconds)
                at++;
            (capture[i], sigma[i]) = _maps[at].At(s);
            if (at + 1 >= _maps.Count || s <= _maps[at + 1].FirstSeconds + EdgeSeconds)
                continue;
            var (next, nextSigma) = _maps[at + 1].At(s);
            var (start, end) = (_maps[at + 1].FirstSeconds + EdgeSeconds, _maps[at].LastSeconds - EdgeSeconds);
            var share = Math.Clamp((s - start) / (end - start), 0, 1);
            (capture[i], sigma[i]) = (capture[i] + share * (next - capture[i]), sigma[i] + share * (nextSigma - sigma[i]));
        }
        return PathCurve.Of(source, capture, sigma);
    }
}
