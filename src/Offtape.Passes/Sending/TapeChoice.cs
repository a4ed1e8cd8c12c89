using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Passes;

/// <summary>Which usual tape is the shortest that holds a pass on one side, in words.</summary>
internal static class TapeChoice
{
    /// <returns>In words, with the playing time of a side; null when none is long enough.</returns>
    /// <param name="neededSeconds">The pass with its margins.</param>
    /// <param name="speedCmPerSecond">Null: a cassette at its usual speed.</param>
    internal static string? Shortest(double neededSeconds, double? speedCmPerSecond)
    {
        var speed = speedCmPerSecond is { } told ? new TapeSpeed(told) : TapeSpeeds.OneAndSevenEighths.Speed;
        var found = TapeLengths
            .UsualFor(neededSeconds, speed)
            .Where(t => t.IsCassette || speedCmPerSecond is not null)
            .Select(t => $"a {t.InWords} ({Words.Number(t.PlayingSeconds(speed) / 60, 0)} min a side at {speed})")
            .ToArray();
        return found.Length == 0 ? null : string.Join(", or ", found);
    }
}
