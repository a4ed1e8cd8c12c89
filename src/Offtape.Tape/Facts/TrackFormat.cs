using Offtape.Base;

namespace Offtape.Tape;

/// <summary>Which way a track runs, seen with the first side up.</summary>
public enum TrackDirection
{
    Forward,
    Backward,
}

/// <summary>One track across the tape.</summary>
/// <param name="Number">From 1 at the edge that the format counts from.</param>
/// <param name="CentreMm">Middle of the track from that edge, with the first side up.</param>
/// <param name="WidthMm">Its width.</param>
/// <param name="Side">"A" or "B": the way up in which the tape plays it forwards.</param>
/// <param name="Direction">Seen with side A up.</param>
public sealed record TapeTrack(int Number, double CentreMm, double WidthMm, string Side, TrackDirection Direction)
{
    internal double FromMm => CentreMm - WidthMm / 2;

    internal double ToMm => CentreMm + WidthMm / 2;
}

/// <summary>What one replay head track hears of a tape of another format.</summary>
/// <param name="ReplayTrack">Number of the replay track.</param>
/// <param name="RecordedTrack">Number of the recorded track it touches.</param>
/// <param name="ShareOfHead">How much of the head's width lies on it, 0 to 1.</param>
/// <param name="IsBackwards">The sound comes out backwards.</param>
public sealed record HeardTrack(int ReplayTrack, int RecordedTrack, double ShareOfHead, bool IsBackwards);

/// <summary>How tracks lie on a tape: a small table that says by arithmetic who can play what.</summary>
/// <param name="Name">In words.</param>
/// <param name="TapeWidthMm">Nominal width of the tape.</param>
/// <param name="Tracks">From one edge to the other.</param>
/// <param name="Source">Where widths come from, and what of them is from memory.</param>
public sealed record TrackFormat(string Name, double TapeWidthMm, IReadOnlyList<TapeTrack> Tracks, string Source)
{
    // Less than this of a head's width on a track is an edge's tolerance, not a sound.
    private const double LeastShare = 0.05;

    /// <summary>Tracks that one pass with side A up plays.</summary>
    public IEnumerable<TapeTrack> SideA => Tracks.Where(t => t.Side == "A");

    /// <summary>Distance between the middles of two tracks.</summary>
    public double SpacingMm(int firstNumber, int secondNumber) =>
        Math.Abs(Tracks[secondNumber - 1].CentreMm - Tracks[firstNumber - 1].CentreMm);

    /// <summary>
    /// What a machine of another format hears of a tape of this one: each track of the machine's side A against every track of the tape, the tape
    /// with its side A up, or turned over.
    /// </summary>
    public IReadOnlyList<HeardTrack> HeardOn(TrackFormat machine, bool isTurnedOver = false)
    {
        var heard = new List<HeardTrack>();
        foreach (var head in machine.SideA)
        {
            foreach (var track in Tracks)
            {
                // Turned over, the far edge becomes the near one, and what ran forwards runs backwards.
                var (from, to) = isTurnedOver ? (TapeWidthMm - track.ToMm, TapeWidthMm - track.FromMm) : (track.FromMm, track.ToMm);
                var share = (Math.Min(head.ToMm, to) - Math.Max(head.FromMm, from)) / head.WidthMm;
                if (share > LeastShare)
                    heard.Add(new(head.Number, track.Number, share, (track.Direction == TrackDirection.Backward) != isTurnedOver));
            }
        }
        return heard;
    }

    /// <summary>Level of a wide recording on a narrower head: 20·log10 of the widths (arithmetic: flux adds up with width).</summary>
    public static double NarrowHeadLevelDb(double recordedWidthMm, double headWidthMm) =>
        Conversions.AmplitudeToDb(Math.Min(1, headWidthMm / recordedWidthMm));

    /// <summary>Noise of a narrower head on the same tape: 10·log10 of the widths (arithmetic: noise adds up in power).</summary>
    public static double NarrowHeadNoiseDb(double recordedWidthMm, double headWidthMm) =>
        Conversions.PowerToDb(Math.Min(1, headWidthMm / recordedWidthMm));
}
