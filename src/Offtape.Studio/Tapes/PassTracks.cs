using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>Which tracks of a tape a pass records on, by where the tracks of the head lie on it.</summary>
internal static class PassTracks
{
    /// <param name="tape">How the tape's tracks lie; null: not known.</param>
    /// <param name="machine">The machine's head; null, or one for tape of another width: as the tape.</param>
    /// <param name="side">Side of the tape.</param>
    /// <param name="sendTracks">Channels of the send that something stands on, from 1: the n-th goes to the n-th track of the head. Empty: not known.</param>
    /// <returns>As the tape's format numbers them; empty: all of the side.</returns>
    public static IReadOnlyList<int> Of(TrackFormat? tape, TrackFormat? machine, string side, IReadOnlyList<int> sendTracks)
    {
        if (tape is null || sendTracks.Count == 0)
            return [];
        int[] own = [.. tape.Tracks.Where(t => t.Side.Equals(side, StringComparison.OrdinalIgnoreCase)).Select(t => t.Number)];
        if (own.Length < 2)
            return [];
        var head = machine is not null && machine.TapeWidthMm == tape.TapeWidthMm ? machine : tape;
        int[] numbers = [.. head.SideA.Select(t => t.Number)];
        var used = sendTracks.Where(t => t <= numbers.Length).Select(t => numbers[t - 1]).ToHashSet();
        // A side that is not the first is recorded with the tape turned over.
        var isTurnedOver = !tape.SideA.Any(t => t.Side.Equals(side, StringComparison.OrdinalIgnoreCase));
        int[] touched =
        [
            .. tape.HeardOn(head, isTurnedOver)
                .Where(h => used.Contains(h.ReplayTrack))
                .Select(h => h.RecordedTrack)
                .Where(own.Contains)
                .Distinct()
                .Order(),
        ];
        return touched.Length == own.Length ? [] : touched;
    }
}
