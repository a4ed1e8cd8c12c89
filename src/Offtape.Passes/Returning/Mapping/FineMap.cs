using Offtape.Passes.Following;
using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>The fine time map of a take: its coarse path refined section by section.</summary>
internal static class FineMap
{
    private const double SectionSeconds = 240;
    private const double OverlapSeconds = 4;
    private const double MarginSeconds = 0.3;
    private const double KnotSeconds = 0.005;
    private const int HissWindows = 150;
    private const double LeastCoherence = 0.05;

    /// <summary>The take with its path refined, along the channel that its loudest source channel came back in.</summary>
    /// <param name="take">As tracked.</param>
    /// <param name="matches">Its channels.</param>
    /// <param name="cancellation">Stops it.</param>
    internal static FollowedTake Refine(FollowedTake take, ChannelMatches matches, CancellationToken cancellation)
    {
        var match = matches.Channels.First(c => c.SourceChannel == take.SourceChannel);
        var (first, last, gain) = (take.FirstHeard, take.LastHeard, match.Gain);
        if (last - first < 0.1 || match.Coherence < LeastCoherence || gain <= 0)
            return take;
        take = take with
        {
            CaptureChannel = match.CaptureChannel,
            Polarity = match.Polarity,
            Curve = take.Curve.Shifted(match.DelaySeconds),
        };
        using var sourceEar = new Ear(take.Source.Recording, take.NominalSpeed, take.IsReversed, MapSection.RateHz);
        using var captureEar = new Ear(take.Capture.Recording, rateHz: MapSection.RateHz);
        var source = sourceEar.Channel(take.SourceChannel);
        var capture = captureEar.Channel(take.CaptureChannel, take.Polarity);
        var peak = Math.Pow(10, take.Source.Levels[take.SourceChannel].PeakDb / 20) * 1.5;
        var hiss = Hiss(capture, take, 1 / (gain * peak));
        var maps = new List<SectionMap>();
        for (var from = first; ; from += SectionSeconds - OverlapSeconds)
        {
            var to = last - from < SectionSeconds + 30 ? last : from + SectionSeconds;
            var section = Load(take, source, capture, from, to, peak, gain, hiss);
            maps.Add(MapRefiner.Refine(section, take.Curve, cancellation));
            if (to >= last)
                break;
        }
        return take with { Curve = Curve(maps, first, last) };
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
    private static PathCurve Curve(List<SectionMap> maps, double first, double last)
    {
        var count = Math.Max(2, (int)Math.Ceiling((last - first) / KnotSeconds) + 1);
        var (source, capture, sigma) = (new double[count], new double[count], new double[count]);
        var readers = maps.ConvertAll(m => (Map: m, Spline: new EvenSpline(m.CaptureSeconds)));
        var at = 0;
        for (var i = 0; i < count; i++)
        {
            var s = source[i] = i == count - 1 ? last : first + i * KnotSeconds;
            while (at + 1 < readers.Count && s > readers[at].Map.SourceSeconds[^1] - 0.1)
                at++;
            (capture[i], sigma[i]) = Read(readers[at], s);
            if (at + 1 < readers.Count && s > readers[at + 1].Map.SourceSeconds[0] + 0.1)
            {
                var (next, nextSigma) = Read(readers[at + 1], s);
                var (start, end) = (readers[at + 1].Map.SourceSeconds[0] + 0.1, readers[at].Map.SourceSeconds[^1] - 0.1);
                var share = Math.Clamp((s - start) / (end - start), 0, 1);
                (capture[i], sigma[i]) = (capture[i] + share * (next - capture[i]), sigma[i] + share * (nextSigma - sigma[i]));
            }
        }
        return PathCurve.Of(source, capture, sigma);
    }

    private static (double Capture, double Sigma) Read((SectionMap Map, EvenSpline Spline) reader, double seconds)
    {
        var position = (seconds - reader.Map.SourceSeconds[0]) / reader.Map.StepSeconds;
        var i = (int)Math.Clamp(position, 0, reader.Map.SigmaSeconds.Length - 2);
        var f = Math.Clamp(position - i, 0, 1);
        var sigma = reader.Map.SigmaSeconds;
        return (reader.Spline.At(position), sigma[i] + f * (sigma[i + 1] - sigma[i]));
    }
}
