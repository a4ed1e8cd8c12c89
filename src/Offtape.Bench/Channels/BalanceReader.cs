using Offtape.Base;

namespace Offtape.Bench;

/// <summary>Level of each channel against the one before it, of tones that both carry alike.</summary>
internal static class BalanceReader
{
    internal static Findings Read(BenchCapture capture, CancellationToken cancellation)
    {
        BenchPart[] tones =
        [
            .. capture.Sheet.Parts.Where(p => p.Kind is BenchPartKind.LevelTone or BenchPartKind.SpeedTone && p.Channels.Count > 1),
        ];
        var readings = new List<Reading>();
        foreach (var part in tones)
        {
            cancellation.ThrowIfCancellationRequested();
            var levels = Enumerable.Range(0, capture.ChannelCount).Select(c => Level(capture, part, c)).ToArray();
            for (var channel = 1; channel < levels.Length; channel++)
            {
                var reading = new Reading
                {
                    Quantity = "balance",
                    Condition = Pairs.Condition(capture, channel, $"{Frequency(part)}, {Words.Number(part.LevelDb, 0)} dB"),
                    Unit = "dB",
                    Method = "Level of the second channel against the first, of the same tone, in its dropout-free moments",
                };
                readings.Add(
                    levels[channel] is { } second && levels[channel - 1] is { } first
                        ? reading with
                        {
                            Value = Conversions.AmplitudeToDb(second.Peak / first.Peak),
                            Uncertainty = Math.Sqrt(first.ExpandedDb * first.ExpandedDb + second.ExpandedDb * second.ExpandedDb),
                        }
                        : reading.Unknown(Why(capture, part))
                );
            }
        }
        return new Findings { Readings = readings };
    }

    private static (double Peak, double ExpandedDb)? Level(BenchCapture capture, BenchPart part, int channel) =>
        capture.Find(part.Name) is null || capture.Clipped.Contains(part.Name)
            ? null
            : HeardTone.Of(capture, channel, part, OperatingLevel.HalfWidthHz)?.Level(OperatingLevel.BlockSeconds);

    private static string Why(BenchCapture capture, BenchPart part) =>
        capture.Find(part.Name) is null ? capture.WhyNot(part.Name)
        : capture.Clipped.Contains(part.Name) ? $"{part.Name} clipped"
        : $"In one of the channels no tone stands out of the noise in {part.Name}";

    private static string Frequency(BenchPart part) =>
        part.FrequencyHz >= 1000 && part.FrequencyHz % 1000 == 0 ? $"{part.FrequencyHz / 1000:0} kHz" : $"{part.FrequencyHz:0} Hz";
}
