using System.Collections.Concurrent;
using Offtape.Base;
using Offtape.Passes.Finding;
using Offtape.Passes.Following;
using Offtape.Passes.Inputs;
using Offtape.Passes.Slates;

namespace Offtape.Passes;

/// <summary>A source that was found, and by what.</summary>
/// <param name="Take">The followed take.</param>
/// <param name="Located">The run of its pass; null where it was found by its sound alone.</param>
/// <param name="Item">Its entry in the sheet; null without one.</param>
/// <param name="Sheet">The sheet of the item.</param>
internal sealed record FoundTake(FollowedTake Take, LocatedPass? Located, SheetItem? Item, PassSheet? Sheet)
{
    /// <summary>A person set the place.</summary>
    internal bool IsHeld { get; init; }

    /// <summary>The chance that the place is right.</summary>
    internal double Confidence => TakeJudge.Confidence(Take, Located is not null);
}

/// <summary>All that a return found.</summary>
internal sealed record ReturnFindings
{
    internal required IReadOnlyList<FoundTake> Takes { get; init; }

    internal required IReadOnlyList<LocatedPass> Passes { get; init; }

    /// <summary>Sources for which two places fit equally well, with those places.</summary>
    internal required IReadOnlyDictionary<int, IReadOnlyList<FollowedTake>> Ambiguous { get; init; }

    /// <summary>Places set by hand at which nothing of their sound could be followed.</summary>
    internal required IReadOnlyList<HeldPlace> Lost { get; init; }

    /// <summary>Captures in which slates of a pass were heard whose sheet was not given.</summary>
    internal required IReadOnlySet<int> StrangePasses { get; init; }
}

/// <summary>Looks for all sources in all captures: by slates first, then by sound alone where there were none.</summary>
internal sealed class ReturnSearch(
    ReturnRequest request,
    IReadOnlyList<PassInput> passes,
    IReadOnlyList<SourceSound> loose,
    IReadOnlyList<CaptureSound> captures
)
{
    // A path straightened by slates wanders from them by a few parts in a thousand of the distance, on the worst of decks.
    private const double ReachAtSlate = 0.004;
    private const double ReachPerSecond = 0.004;
    private const double FarthestReach = 0.06;
    private const double WideReach = 0.4;
    private const double JudgeSeconds = 6;
    private const double OtherSpeed = 0.08;
    private const double HandledShare = 0.06;
    private const double FarthestEnd = 0.08;

    internal ReturnFindings Run(JobProgress progress, CancellationToken cancellation)
    {
        var strange = new HashSet<int>();
        var located = new List<LocatedPass>();
        foreach (var capture in captures)
        {
            located.AddRange(PassLocator.Locate(capture.Slates, [.. passes.Select(p => p.Sheet)], capture.Index, out var strangers));
            if (strangers.Count > 0)
                strange.Add(capture.Index);
        }
        var (held, lost) = new HeldSearch(request.Held, passes, loose, captures).Run(located, cancellation);
        var takes = BySlates(located, progress.Part(0, 0.5), cancellation);
        takes.RemoveAll(t => held.Exists(h => h.Take.Source == t.Take.Source && h.Take.Capture == t.Take.Capture));
        takes.AddRange(held);
        var ambiguous = new Dictionary<int, IReadOnlyList<FollowedTake>>();
        BySound(located, takes, ambiguous, progress.Part(0.5, 1), cancellation);
        return new ReturnFindings
        {
            Takes = takes,
            Passes = located,
            Ambiguous = ambiguous,
            Lost = lost,
            StrangePasses = strange,
        };
    }

    private static bool IsWhole(FollowedTake take, double end) => Math.Abs(take.Curve.CaptureAt(take.SourceLength) - end) < FarthestEnd;

    private List<FoundTake> BySlates(List<LocatedPass> located, JobProgress progress, CancellationToken cancellation)
    {
        var jobs = new List<(LocatedPass Pass, PassInput Input, int Item)>();
        foreach (var pass in located)
        {
            var input = passes.First(p => p.Sheet == pass.Sheet);
            for (var i = 0; i < input.Sounds.Length; i++)
                jobs.Add((pass, input, i));
        }
        var found = new ConcurrentBag<(int Order, FoundTake Take)>();
        var done = 0;
        Parallel.For(
            0,
            jobs.Count,
            new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
            j =>
            {
                var (pass, input, item) = jobs[j];
                if (FollowBySlates(pass, input, item, cancellation) is { } take)
                    found.Add((j, take));
                var count = Interlocked.Increment(ref done);
                progress.Report("finding", (double)count / jobs.Count, $"finding {count} of {jobs.Count}");
            }
        );
        // In separate runs of two tracks each, a parallel sound is in one run only; crosstalk may let it be heard in the other.
        var all = found.OrderBy(f => f.Order).Select(f => f.Take).ToList();
        return [.. all.Where(t => !IsCrosstalk(t, all))];
    }

    private static bool IsCrosstalk(FoundTake take, List<FoundTake> all) =>
        take.Sheet?.Layout == SendLayout.Parallel
        && all.Exists(o =>
            o != take && o.Take.Source == take.Take.Source && o.Sheet == take.Sheet && o.Take.Evidence.Gain > 5 * take.Take.Evidence.Gain
        );

    private FoundTake? FollowBySlates(LocatedPass pass, PassInput input, int index, CancellationToken cancellation)
    {
        var (sheet, item, sound) = (input.Sheet, input.Sheet.Items[index], input.Sounds[index]);
        var capture = captures[pass.CaptureIndex];
        if (sound.IsSilent)
            return null;
        var tapeSpeed = pass.SpeedRatio;
        var nominal = (Math.Abs(tapeSpeed - 1) > OtherSpeed ? tapeSpeed : 1) / sheet.PrintRatio;
        var isReversed = sheet.Reversed != pass.IsReversed;
        var (sendStart, sendEnd) = (item.StartSeconds, item.StartSeconds + item.SendLengthSeconds);
        var (zero, end) = pass.IsReversed
            ? (pass.CaptureAt(sendEnd), pass.CaptureAt(sendStart))
            : (pass.CaptureAt(sendStart), pass.CaptureAt(sendEnd));
        if (end < 0.05 || zero > capture.LengthSeconds - 0.05)
            return null;
        var trackerLength = sound.LengthSeconds / nominal;
        var speed = trackerLength / (end - zero);
        var distance = Math.Min(pass.DistanceToAnchor(sendStart), pass.DistanceToAnchor(sendEnd));
        var reach = Math.Min(FarthestReach, ReachAtSlate + ReachPerSecond * distance);
        using var follower = new TakeFollower(sound, capture, nominal, isReversed);
        FollowedTake? best = null;
        foreach (var attempt in new[] { reach, WideReach })
        {
            var take = follower.Follow(
                0,
                Math.Min(trackerLength, 3),
                zero,
                speed,
                attempt,
                speedReach: attempt == reach ? 0.002 : 0.01,
                captureChannels: null,
                JudgeSeconds,
                cancellation
            );
            // Held to its end, where a slate has it: nothing was lost on the way.
            if (take is not null && TakeJudge.IsAcceptedAtSlate(take) && take.LostShare < HandledShare && IsWhole(take, end))
                return new FoundTake(take, pass, item, sheet);
            if (take is not null && TakeJudge.IsAcceptedAtSlate(take))
                best = take;
        }
        // A hand on the pitch control, or a stop, between slates that are in time.
        double Near(double sendSeconds) => pass.SpeedNear(sendSeconds) / sheet.PrintRatio / nominal;
        var (heardFirst, heardLast) = pass.IsReversed ? (sendEnd, sendStart) : (sendStart, sendEnd);
        var handled = follower.FollowHandled(
            pass.CaptureNear(heardFirst),
            pass.CaptureNear(heardLast),
            Near(heardFirst),
            Near(heardLast),
            cancellation
        );
        if (handled is not null && TakeJudge.IsAcceptedAtSlate(handled) && handled.Evidence.Score > (best?.Evidence.Score ?? 0))
            best = handled;
        return best is null ? null : new FoundTake(best, pass, item, sheet);
    }

    private void BySound(
        List<LocatedPass> located,
        List<FoundTake> takes,
        Dictionary<int, IReadOnlyList<FollowedTake>> ambiguous,
        JobProgress progress,
        CancellationToken cancellation
    )
    {
        var missing = passes
            .SelectMany(p => p.Sounds.Select((sound, i) => (Sound: sound, Item: (SheetItem?)p.Sheet.Items[i], Sheet: (PassSheet?)p.Sheet)))
            .Where(m => !takes.Exists(t => t.Take.Source == m.Sound && !t.IsHeld))
            .Concat(loose.Select(s => (Sound: s, Item: (SheetItem?)null, Sheet: (PassSheet?)null)))
            .Where(m => !m.Sound.IsSilent)
            .ToList();
        // Where slates of the pass were heard, what was not found at its place is not there.
        var open = captures.Where(c => !c.IsSilent && !located.Exists(l => l.CaptureIndex == c.Index)).ToList();
        if (missing.Count == 0 || open.Count == 0)
            return;
        var finder = new SoundFinder([.. missing.Select(m => m.Sound)], request.SpeedReach);
        var candidates = new List<FollowedTake>();
        var total = open.Sum(c => c.LengthSeconds);
        var done = 0.0;
        foreach (var capture in open)
        {
            candidates.AddRange(finder.FindIn(capture, progress.Part(done / total, (done + capture.LengthSeconds) / total), cancellation));
            done += capture.LengthSeconds;
        }
        candidates.RemoveAll(c => takes.Exists(t => t.IsHeld && t.Take.Source == c.Source && t.Take.Capture == c.Capture));
        foreach (var (take, rivals) in PlaceResolver.Resolve(candidates))
        {
            if (rivals.Count > 0)
            {
                ambiguous[take.Source.Index] = [take, .. rivals];
                continue;
            }
            var (_, item, sheet) = missing.First(m => m.Sound == take.Source);
            takes.Add(new FoundTake(take, null, item, sheet));
        }
    }
}
