using Offtape.Base;
using Offtape.Tape;
using static Offtape.Base.Words;

namespace Offtape.Studio;

/// <summary>Where a track goes when the tape is turned over.</summary>
/// <param name="HeadTrack">Track of the machine's head, from 1.</param>
/// <param name="TapeTrack">Track of the tape it then lies on; null where it lies on none.</param>
/// <param name="IsBackwards">What was recorded there the other way up is heard backwards.</param>
public sealed record TurnedTrack(int HeadTrack, int? TapeTrack, bool IsBackwards);

/// <summary>What turning a tape over does in one format, by where its tracks lie.</summary>
/// <param name="Format">How the tape is recorded, and the head of the machine with it.</param>
/// <param name="Tracks">Each track of the head.</param>
/// <param name="CanPrintBackwards">A tape turned over lies under the same tracks: what is recorded on it is backwards when it is turned back.</param>
/// <param name="Words">In a sentence, with what to do instead where it cannot be done.</param>
public sealed record TapeTurns(TrackFormat Format, IReadOnlyList<TurnedTrack> Tracks, bool CanPrintBackwards, string Words)
{
    // Half of the head's width on a track is a sound; less is the guard band and a neighbour's edge.
    private const double LeastShare = 0.5;

    public static TapeTurns Of(TrackFormat format)
    {
        var heard = format.HeardOn(format, isTurnedOver: true);
        var tracks = format
            .SideA.Select(head =>
            {
                var most = heard.Where(h => h.ReplayTrack == head.Number && h.ShareOfHead >= LeastShare).MaxBy(h => h.ShareOfHead);
                return new TurnedTrack(head.Number, most?.RecordedTrack, most?.IsBackwards ?? false);
            })
            .ToArray();
        var canPrint = tracks.All(t => t is { TapeTrack: not null, IsBackwards: true });
        return new TapeTurns(format, tracks, canPrint, Say(tracks, canPrint));
    }

    private static string Say(TurnedTrack[] tracks, bool canPrint)
    {
        if (!canPrint)
            return "Turned over, the head lies on the other side's tracks and hears those forwards: a sound cannot be printed backwards by turning the tape. "
                + "Send it backwards instead (send --reverse).";
        var moved = tracks.Where(t => t.TapeTrack != t.HeadTrack).Select(t => $"track {t.HeadTrack} lies on {t.TapeTrack}").ToArray();
        return moved.Length == 0
            ? "Turned over, the head lies on the same track, and what is recorded so is heard backwards when the tape is turned back."
            : $"Turned over, {List(moved)}. What is recorded so is heard backwards when the tape is turned back, from those tracks.";
    }
}
