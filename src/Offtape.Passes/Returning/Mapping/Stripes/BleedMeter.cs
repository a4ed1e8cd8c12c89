using Offtape.Base;
using Offtape.Passes.Following;
using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>
/// Measures what bleeds of a stripe into a channel over a take. It may have crossed at the record head or on the tape, then it moves with the
/// take's own track, or at the replay head, then with the stripe's: both are tried.
/// </summary>
internal static class BleedMeter
{
    private const int WindowFrames = MapSection.LongWindowFrames;
    private const int HopFrames = WindowFrames / 2;
    private const int StretchHops = 16;
    private const int StretchFrames = StretchHops * HopFrames;
    private const double StretchSeconds = StretchFrames / MapSection.RateHz;

    // Pauses say nearly all: of a long take the quietest stretches are enough.
    private const int MostStretches = 300;

    // Before and after the take the stripe may stand alone.
    private const double MarginSeconds = 2.5;
    private const double KnotSeconds = 0.005;

    // Chance alone explains 1 a band on average, one and a half of it almost never.
    private const double LeastExplained = 1.5;
    private const double QuietestDb = 30;

    /// <returns>Null where the channel is the stripe's own, or the two are never heard together.</returns>
    internal static StripeBleed? Measure(FollowedTake take, int captureChannel, CancellationToken cancellation)
    {
        if (take.Stripe is not { } link || link.Stripe.Channel == captureChannel)
            return null;
        var stripe = link.Stripe.Take;
        var (a, b) = (link.StripeSeconds(take, take.FirstHeard), link.StripeSeconds(take, take.LastHeard));
        var (first, last) = (
            Math.Max(stripe.FirstHeard, Math.Min(a, b) - MarginSeconds),
            Math.Min(stripe.LastHeard, Math.Max(a, b) + MarginSeconds)
        );
        if (last - first < 2 * StretchSeconds)
            return null;
        var level = take.Capture.Levels[captureChannel];
        var starts = Quietest(level, stripe.Curve, first, last);
        double Own(double t) => stripe.Curve.CaptureAt(t) + (link.Drift?.At(link.TakeSeconds(take, t)).Lag ?? 0);
        var byOwn = Sums(stripe, Own, captureChannel, starts, cancellation).Solve();
        var byStripe = link.Drift is null ? byOwn : Sums(stripe, stripe.Curve.CaptureAt, captureChannel, starts, cancellation).Solve();
        var isOwn = byOwn.Explained >= byStripe.Explained;
        var (response, explained, before, left) = isOwn ? byOwn : byStripe;
        var isHeard = explained > LeastExplained * BleedResponse.BandCount;
        var power = StripePower(stripe, first, last);
        double Dbfs(double[] response) => Conversions.PowerToDb(response.Zip(power, (r, p) => r * p).Sum() + 1e-20);
        return new StripeBleed
        {
            CaptureChannel = captureChannel,
            Stripe = stripe,
            StripeAtCapture = Turned(isOwn ? Own : stripe.Curve.CaptureAt, first - MarginSeconds, last + MarginSeconds),
            Response = isHeard ? response : null,
            Dbfs = isHeard ? Dbfs(before) : null,
            LeftDbfs = Dbfs(left),
            ProgrammeDbfs = Programme(level, take),
        };
    }

    private static List<double> Quietest(LevelCurve level, PathCurve curve, double first, double last)
    {
        var stretches = new List<(double Start, double Db)>();
        for (var start = first; start + StretchSeconds <= last; start += StretchSeconds)
        {
            var loudest = -200.0;
            for (var t = start; t < start + StretchSeconds; t += 2 * LevelCurve.StepSeconds)
                loudest = Math.Max(loudest, level.DbAt(curve.CaptureAt(t)));
            stretches.Add((start, loudest));
        }
        return [.. stretches.OrderBy(s => s.Db).Take(MostStretches).Select(s => s.Start).Order()];
    }

    private static BleedSums Sums(
        FollowedTake stripe,
        Func<double, double> captureAt,
        int channel,
        List<double> starts,
        CancellationToken cancellation
    )
    {
        using var stripeEar = new Ear(stripe.Source.Recording, stripe.NominalSpeed, stripe.IsReversed, MapSection.RateHz);
        using var captureEar = new Ear(stripe.Capture.Recording, rateHz: MapSection.RateHz);
        var (sent, heard) = (stripeEar.Channel(0), captureEar.Channel(channel));
        var transform = new RealTransform(WindowFrames);
        var (window, block) = (new float[WindowFrames], new float[WindowFrames]);
        Windows.Hann(window, WindowForm.Periodic);
        var (source, along) = (new float[StretchFrames + HopFrames], new float[StretchFrames + HopFrames]);
        var positions = new double[along.Length];
        var (sr, si, cr, ci) = (New(), New(), New(), New());
        var bandOf = Enumerable
            .Range(0, transform.BinCount)
            .Select(k => BleedResponse.BandOf(k * MapSection.RateHz / WindowFrames))
            .ToArray();
        var sums = new BleedSums();
        float[] raw = [];
        foreach (var start in starts)
        {
            cancellation.ThrowIfCancellationRequested();
            var firstFrame = (long)Math.Round(start * MapSection.RateHz);
            sent.Read(firstFrame, source);
            var (low, high, step) = Positions(captureAt, firstFrame, positions);
            var bandwidth = Retimer.BandwidthForStep(Math.Clamp(step, 0.02, 8));
            var margin = Retimer.HalfWidthFramesForBandwidth(bandwidth) + 2;
            var from = (long)Math.Floor(low) - margin;
            var count = (int)(Math.Ceiling(high) - from) + margin + 1;
            if (raw.Length < count)
                raw = new float[count];
            heard.Read(from, raw.AsSpan(0, count));
            Retimer.Render(raw.AsSpan(0, count), from, positions, bandwidth, along);
            for (var hop = 0; hop < StretchHops; hop++)
            {
                Transform(source, hop, sr, si);
                Transform(along, hop, cr, ci);
                for (var k = 0; k < bandOf.Length; k++)
                {
                    if (bandOf[k] >= 0)
                        sums.Add(bandOf[k], sr[k], si[k], cr[k], ci[k]);
                }
            }
            sums.Close();
        }
        return sums;

        float[] New() => new float[transform.BinCount];

        void Transform(float[] signal, int hop, float[] re, float[] im)
        {
            for (var i = 0; i < WindowFrames; i++)
                block[i] = signal[hop * HopFrames + i] * window[i];
            transform.Forward(block, re, im);
        }
    }

    /// <summary>Where in the capture each frame of a stretch is heard, in frames at the mapping rate: exact each millisecond, straight between.</summary>
    private static (double Low, double High, double LargestStep) Positions(
        Func<double, double> captureAt,
        long firstFrame,
        double[] positions
    )
    {
        const int stride = 24;
        var largest = 0.0;
        var before = captureAt(firstFrame / MapSection.RateHz) * MapSection.RateHz;
        for (var i = 0; i < positions.Length; i += stride)
        {
            var after = captureAt((firstFrame + i + stride) / MapSection.RateHz) * MapSection.RateHz;
            for (var k = i; k < Math.Min(i + stride, positions.Length); k++)
                positions[k] = before + (after - before) * (k - i) / stride;
            largest = Math.Max(largest, (after - before) / stride);
            before = after;
        }
        return (positions[0], positions[^1], largest);
    }

    /// <summary>Mean square of the stripe in each band, over its first seconds: it is alike throughout.</summary>
    private static double[] StripePower(FollowedTake stripe, double first, double last)
    {
        using var ear = new Ear(stripe.Source.Recording, stripe.NominalSpeed, stripe.IsReversed, MapSection.RateHz);
        var transform = new RealTransform(WindowFrames);
        var (window, block) = (new float[WindowFrames], new float[WindowFrames]);
        Windows.Hann(window, WindowForm.Periodic);
        var energy = window.Sum(w => (double)w * w);
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        var power = new double[BleedResponse.BandCount];
        var frames = (int)Math.Clamp((last - first) * MapSection.RateHz / WindowFrames, 1, 40);
        for (var n = 0; n < frames; n++)
        {
            ear.Channel(0).Read((long)(first * MapSection.RateHz) + n * WindowFrames, block);
            for (var i = 0; i < WindowFrames; i++)
                block[i] *= window[i];
            transform.Forward(block, re, im);
            for (var k = 0; k < re.Length; k++)
            {
                var band = BleedResponse.BandOf(k * MapSection.RateHz / WindowFrames);
                if (band >= 0)
                    power[band] += 2 * ((double)re[k] * re[k] + (double)im[k] * im[k]) / energy / WindowFrames / frames;
            }
        }
        return power;
    }

    private static double Programme(LevelCurve level, FollowedTake take)
    {
        var (a, b) = (take.Curve.CaptureAt(take.FirstHeard), take.Curve.CaptureAt(take.LastHeard));
        var levels = new List<double>();
        for (var t = a; t < b; t += LevelCurve.StepSeconds)
            levels.Add(level.DbAt(t));
        var loudest = levels.Max();
        return Conversions.PowerToDb(levels.Where(l => l > loudest - QuietestDb).Average(Conversions.DbToPower));
    }

    private static PathCurve Turned(Func<double, double> captureAt, double first, double last)
    {
        var (capture, stripe) = (new List<double>(), new List<double>());
        for (var t = first; t < last; t += KnotSeconds)
        {
            var c = captureAt(t);
            // While the tape stood, the first moment stays.
            if (capture.Count > 0 && c <= capture[^1] + 1e-5)
                continue;
            capture.Add(c);
            stripe.Add(t);
        }
        return PathCurve.Of([.. capture], [.. stripe], new double[capture.Count]);
    }
}
