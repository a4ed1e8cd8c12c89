using Offtape.Base;

namespace Offtape.Passes;

/// <summary>Which usual tape is the shortest that holds a pass on one side.</summary>
internal static class TapeChoice
{
    private const double CassetteCmPerSecond = 4.7625;

    // A cassette in a multitrack recorder runs at up to 9.5 cm/s; a reel machine seldom below it.
    private const double FastestCassetteCmPerSecond = 10;
    private const double SlowestReelCmPerSecond = 9;

    // The number of a cassette is the minutes of both its sides at 4.76 cm/s.
    private static readonly Tape[] Cassettes =
    [
        .. new[] { 46, 60, 90, 120 }.Select(minutes => new Tape($"a C{minutes}", minutes / 2.0 * 60 * CassetteCmPerSecond / 100)),
    ];

    // Standard and long-play quarter-inch tape: feet by reel diameter, as tape makers' timing charts list them.
    private static readonly Tape[] Reels =
    [
        Reel("5 in", 600),
        Reel("5 in", 900),
        Reel("7 in", 1200),
        Reel("7 in", 1800),
        Reel("10.5 in", 2500),
        Reel("10.5 in", 3600),
    ];

    /// <returns>In words, with the playing time of a side; null when none is long enough.</returns>
    /// <param name="neededSeconds">The pass with its margins.</param>
    /// <param name="speedCmPerSecond">Null: a cassette at its usual speed.</param>
    internal static string? Shortest(double neededSeconds, double? speedCmPerSecond)
    {
        var speed = new TapeSpeed(speedCmPerSecond ?? CassetteCmPerSecond);
        Tape? Find(Tape[] tapes) => tapes.FirstOrDefault(t => t.Seconds(speed) >= neededSeconds);
        var cassette = speed.CmPerSecond < FastestCassetteCmPerSecond ? Find(Cassettes) : null;
        var reel = speed.CmPerSecond >= SlowestReelCmPerSecond || speedCmPerSecond is not null && cassette is null ? Find(Reels) : null;
        string[] found = [.. new[] { cassette, reel }.OfType<Tape>().Select(t => t.InWords(speed))];
        return found.Length == 0 ? null : string.Join(", or ", found);
    }

    private static Tape Reel(string diameter, double feet) => new($"a {diameter} reel of {feet} ft", Conversions.FeetToMetres(feet));

    private sealed record Tape(string Name, double LengthMetres)
    {
        internal double Seconds(TapeSpeed speed) => LengthMetres / speed.MetresPerSecond;

        internal string InWords(TapeSpeed speed) => $"{Name} ({Words.Number(Seconds(speed) / 60, 0)} min a side at {speed})";
    }
}
