using Offtape.Base;

namespace Offtape.Bench;

/// <summary>
/// Where hum may come from, by the pattern of its lines. A hint and no more: common practice, no source. A transformer or motor near a head or
/// cable gives the mains frequency nearly alone; a full-wave rectifier whose capacitors have aged gives its even multiples; currents in a loop
/// of earths come in the short pulses that power supplies draw, and so with many odd multiples.
/// </summary>
internal static class HumHint
{
    private const double AloneDb = 12;
    private const double EvenOverOddDb = 6;
    private const double RichDb = 25;
    private const int RichCount = 3;

    internal static Findings Of(Findings noise)
    {
        var notices = new List<Notice>();
        foreach (var curve in noise.Curves.Where(c => c.Quantity == "humLines" && c.Condition == QuietStretch.Recorded))
        {
            if (Pattern(curve) is { } words)
                notices.Add(new Notice("hum-hint", $"Hum, channel {curve.Channel}: {words}. A hint only.{Stopped(noise, curve.Channel)}"));
        }
        return new Findings { Notices = notices };
    }

    private static string? Pattern(ReadingCurve curve)
    {
        var mains = curve.X[0] > 70 ? curve.X[0] / Math.Round(curve.X[0] / 55) : curve.X[0];
        double Level(int harmonic)
        {
            var index = Array.FindIndex(curve.X, x => Math.Abs(x - harmonic * mains) < mains / 4);
            return index < 0 ? double.NegativeInfinity : curve.Y[index];
        }
        var first = Level(1);
        var odd = Enumerable.Range(1, 4).Select(k => Level(2 * k + 1)).ToArray();
        var even = Enumerable.Range(1, 4).Select(k => Level(2 * k)).ToArray();
        if (even.Max() > Math.Max(first, odd.Max()) + EvenOverOddDb)
            return "even multiples of the mains frequency lead, as behind a rectifier whose capacitors have aged";
        if (odd.Count(l => l > first - RichDb) >= RichCount)
            return "many odd multiples, as of a loop of earths: try all devices on one outlet strip, or a transformer in the audio line. "
                + "Never lift a safety earth";
        return first > Math.Max(odd.Max(), even.Max()) + AloneDb
            ? "the mains frequency nearly alone, as of a transformer or motor close to a head or a cable"
            : null;
    }

    private static string Stopped(Findings noise, int? channel)
    {
        double? At(string condition) =>
            noise.Readings.FirstOrDefault(r => r.Quantity == "hum" && r.Channel == channel && r.Condition == condition)?.Value;
        return At(QuietStretch.Recorded) is { } running && At(QuietStretch.Stopped) is { } stopped && Math.Abs(running - stopped) < 3
            ? " It stays when the tape stops: it is not on the tape."
            : "";
    }
}
