using Offtape.Base;
using Offtape.Passes.Finding;
using Offtape.Passes.Following;
using Offtape.Passes.Listening;
using Offtape.Passes.Slates;
using Offtape.Tape;

namespace Offtape.Passes.Mapping;

/// <summary>
/// Finds the stripe of a run in its capture, on whichever channel, and follows it: near a slate first, then from there to both ends, then
/// as finely as any take.
/// </summary>
internal static class StripeFinder
{
    // Slates tell the place nearby to well under a millisecond; a worn deck's wobble adds some.
    private const double ReachSeconds = 0.03;
    private const double JudgeSeconds = 6;
    private const double StretchSeconds = 3;
    private const double ShortestSeconds = 1;
    private const double OtherSpeed = 0.08;

    // The channel that carries the stripe holds little else; where it only bleeds over it is faint under something else.
    private const double LeastCoherence = 0.5;
    private const double SlateMarginSeconds = 0.3;
    private const double ShortestQuietSeconds = 0.15;

    /// <summary>The stripes of all runs that carry one; a run whose stripe is not in the capture, or not to be heard, has none.</summary>
    internal static Dictionary<LocatedPass, StripeMap> Find(
        IReadOnlyList<LocatedPass> runs,
        IReadOnlyList<CaptureSound> captures,
        JobProgress progress,
        CancellationToken cancellation
    )
    {
        var striped = runs.Where(r => r.Sheet.Stripe?.FormatVersion == Stripe.FormatVersion).ToList();
        var maps = new StripeMap?[striped.Count];
        var done = 0;
        Parallel.For(
            0,
            striped.Count,
            new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
            i =>
            {
                maps[i] = Follow(striped[i], captures[striped[i].CaptureIndex], cancellation);
                var count = Interlocked.Increment(ref done);
                progress.Report("mapping", (double)count / striped.Count, $"following the stripe of run {count} of {striped.Count}");
            }
        );
        return striped.Zip(maps).Where(p => p.Second is not null).ToDictionary(p => p.First, p => p.Second!);
    }

    private static StripeMap? Follow(LocatedPass run, CaptureSound capture, CancellationToken cancellation)
    {
        var sheet = run.Sheet.Stripe!;
        var source = SourceSound.Of(
            -1,
            new Recording("stripe of " + run.Sheet.PassId, () => new StripeReader(sheet, run.Sheet.PassId)),
            cancellation
        );
        var nominal = Math.Abs(run.SpeedRatio - 1) > OtherSpeed ? run.SpeedRatio : 1;
        var length = source.LengthSeconds / nominal;
        var (start, end) = (run.CaptureAt(sheet.StartSeconds), run.CaptureAt(sheet.StartSeconds + sheet.LengthSeconds));
        var (zero, last) = run.IsReversed ? (end, start) : (start, end);
        var speed = length / (last - zero);
        var stretch = Stretch(run, sheet, capture, length, zero, speed);
        if (stretch is not { } from)
            return null;
        var heard = Quietened(run, capture);
        using var follower = new TakeFollower(source, heard, nominal, run.IsReversed);
        // Between two slates the line is bent: here it is known where the stretch is, whatever the mean speed.
        var at = run.CaptureAt(SendAt(from + StretchSeconds / 2));
        var take = follower.Follow(
            from,
            Math.Min(length, from + StretchSeconds),
            at - (from + StretchSeconds / 2) / speed,
            speed,
            ReachSeconds,
            speedReach: 0.004,
            captureChannels: null,
            Math.Min(JudgeSeconds, length),
            cancellation
        );
        if (take is null || !TakeJudge.IsAcceptedAtSlate(take))
            return null;
        var match = Enumerable
            .Range(0, capture.Recording.Format.ChannelCount)
            .Select(c => new ChannelMatcher().Match(take, [c], cancellation))
            .MaxBy(m => m.Channels[0].Coherence * m.Channels[0].Gain * m.Channels[0].Gain)!;
        if (match.Channels[0].Coherence < LeastCoherence || FineMap.Begin(take, match, cancellation) is not { } map)
            return null;
        map.Finish(null, cancellation, MapDetail.Stripe);
        return new StripeMap
        {
            Run = run,
            Sheet = sheet,
            Take = map.Take,
        };

        double SendAt(double tracker) => sheet.StartSeconds + (run.IsReversed ? (length - tracker) * nominal : tracker * nominal);
    }

    /// <summary>Where in the stripe (tracker seconds) to begin: beside a slate that was heard, inside the capture. Null where too little is.</summary>
    private static double? Stretch(LocatedPass run, SheetStripe sheet, CaptureSound capture, double length, double zero, double speed)
    {
        var (first, last) = (Math.Max(0, -zero * speed), Math.Min(length, (capture.LengthSeconds - zero) * speed));
        if (last - first < ShortestSeconds)
            return null;
        double Outside(double send) => Math.Max(sheet.StartSeconds - send, send - sheet.StartSeconds - sheet.LengthSeconds);
        var anchor = run.Anchors.MinBy(a => Math.Max(0, Outside(a.SendSeconds)));
        var tracker = (anchor.CaptureSeconds - zero) * speed;
        return Math.Clamp(tracker - StretchSeconds / 2, first, Math.Max(first, last - StretchSeconds));
    }

    /// <summary>
    /// The capture with its noise as it is where not even the stripe plays: before the first slate and after the last. A stripe sounds all
    /// along, and the quietest moments of its channel may be stripe too.
    /// </summary>
    private static CaptureSound Quietened(LocatedPass run, CaptureSound capture)
    {
        var sheet = run.Sheet;
        var (from, to) = (run.CaptureAt(0), run.CaptureAt(sheet.LengthSeconds));
        double first = sheet.Stripe!.StartSeconds,
            last = first + sheet.Stripe.LengthSeconds;
        foreach (var slate in sheet.Slates)
        {
            first = Math.Min(first, slate.StartSeconds);
            last = Math.Max(last, slate.StartSeconds + slate.LengthSeconds);
        }
        var (a, b) = (run.CaptureAt(first), run.CaptureAt(last));
        var (before, after) = (Math.Min(a, b) - SlateMarginSeconds, Math.Max(a, b) + SlateMarginSeconds);
        // Another run may stand next to this one: no further than what this one's send holds, and a little.
        var spans = new[]
        {
            (From: Math.Max(0, Math.Min(from, to) - 1), To: before),
            (From: after, To: Math.Min(capture.LengthSeconds, Math.Max(from, to) + 1)),
        }
            .Where(s => s.To - s.From > ShortestQuietSeconds)
            .ToList();
        if (spans.Count == 0)
            return capture;
        using var ear = new Ear(capture.Recording);
        return new CaptureSound
        {
            Index = capture.Index,
            Recording = capture.Recording,
            Levels = capture.Levels,
            Slates = capture.Slates,
            Noise = [.. Enumerable.Range(0, ear.ChannelCount).Select(c => Quiet(ear.Channel(c), spans, capture.Noise[c]))],
        };
    }

    private static NoiseSpectrum Quiet(WorkingSignal signal, List<(double From, double To)> spans, NoiseSpectrum otherwise)
    {
        var starts = new List<double>();
        var power = new float[otherwise.Power.Length];
        var used = 0;
        foreach (var (from, to) in spans)
        {
            var frames = new float[(int)((to - from) * WorkingSignal.UsualRateHz)];
            signal.Read((long)(from * WorkingSignal.UsualRateHz), frames);
            var builder = new NoiseSpectrumBuilder(WorkingSignal.UsualRateHz, frames.Length);
            builder.Add(frames);
            var spectrum = builder.Build();
            for (var k = 0; k < power.Length; k++)
                power[k] += spectrum.Power[k];
            used += spectrum.QuietSeconds.Count > 0 ? 1 : 0;
            // Windows of the mapper are half as long again: each further one of the quiet stretch will do.
            for (var t = from; spectrum.QuietSeconds.Count > 0 && t < to - ShortestQuietSeconds / 2; t += 0.03)
                starts.Add(t);
        }
        if (used == 0)
            return otherwise;
        for (var k = 0; k < power.Length; k++)
            power[k] /= used;
        return new NoiseSpectrum(power, WorkingSignal.UsualRateHz, starts);
    }
}
