using Offtape.Base;
using Offtape.Passes.Finding;
using Offtape.Passes.Following;
using Offtape.Passes.Inputs;
using Offtape.Passes.Slates;

namespace Offtape.Passes;

/// <summary>
/// Follows sources from places that a person has set. Whether it is the right sound is not judged again; where exactly it lies still is: a place
/// by eye is off by some hundredths of a second.
/// </summary>
internal sealed class HeldSearch(
    IReadOnlyList<HeldPlace> held,
    IReadOnlyList<PassInput> passes,
    IReadOnlyList<SourceSound> loose,
    IReadOnlyList<CaptureSound> captures
)
{
    // By eye first; by hand into a long waveform next.
    private static readonly double[] Reaches = [0.03, 0.15, 0.6];
    private const double SpeedReach = 0.03;
    private const double SpeedReachAtSlate = 0.004;
    private const double JudgeSeconds = 6;

    /// <summary>The takes, and the places at which nothing of the sound could be followed.</summary>
    internal (List<FoundTake> Takes, List<HeldPlace> Lost) Run(List<LocatedPass> located, CancellationToken cancellation)
    {
        var (takes, lost) = (new List<FoundTake>(), new List<HeldPlace>());
        foreach (var place in held)
        {
            cancellation.ThrowIfCancellationRequested();
            if (Follow(place, located, cancellation) is { } take)
                takes.Add(take);
            else
                lost.Add(place);
        }
        return (takes, lost);
    }

    private FoundTake? Follow(HeldPlace place, List<LocatedPass> located, CancellationToken cancellation)
    {
        // By its path; by its name alone where the folder was moved since.
        var capture =
            captures.FirstOrDefault(c => Path.GetFullPath(c.Recording.Path) == Path.GetFullPath(place.Capture))
            ?? captures.FirstOrDefault(c => c.Recording.Name == Path.GetFileName(place.Capture));
        var (sound, item, sheet) = Named(place.Source);
        if (capture is null || sound is null || sound.IsSilent)
            return null;
        var run = located.FirstOrDefault(l => l.CaptureIndex == capture.Index && l.Sheet == sheet);
        var nominal = 1 / (sheet?.PrintRatio ?? 1);
        var isReversed = sheet?.Reversed is true != run is { IsReversed: true };
        var speed = run is null ? 1 : run.SpeedRatio;
        using var follower = new TakeFollower(sound, capture, nominal, isReversed);
        // Heard backwards, the source's first frame is the last that is heard.
        var zero = isReversed ? place.CaptureStartSeconds - follower.SourceLength / speed : place.CaptureStartSeconds;
        FollowedTake? best = null;
        foreach (var reach in Reaches)
        {
            var take = follower.Follow(
                0,
                Math.Min(follower.SourceLength, 3),
                zero,
                speed,
                reach,
                run is null ? SpeedReach : SpeedReachAtSlate,
                captureChannels: null,
                JudgeSeconds,
                cancellation
            );
            if (take is not null && take.Evidence.Score > (best?.Evidence.Score ?? 0))
                best = take;
            if (best is not null && TakeJudge.IsAcceptedAtSlate(best))
                break;
        }
        return best is null ? null : new FoundTake(best, run, item, sheet) { IsHeld = true };
    }

    private (SourceSound? Sound, SheetItem? Item, PassSheet? Sheet) Named(string source)
    {
        foreach (var pass in passes)
        {
            for (var i = 0; i < pass.Sounds.Length; i++)
            {
                if (pass.Sheet.Items[i].Source == source)
                    return (pass.Sounds[i], pass.Sheet.Items[i], pass.Sheet);
            }
        }
        return (loose.FirstOrDefault(s => s.Recording.Name == source), null, null);
    }
}
