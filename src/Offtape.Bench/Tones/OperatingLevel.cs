using Offtape.Base;

namespace Offtape.Bench;

/// <summary>What the machine's operating level comes back as, from the level tones: 1 kHz, else 315 Hz.</summary>
/// <param name="Peak">Peak of its sine; full scale is 1.</param>
/// <param name="ExpandedDb">Expanded uncertainty.</param>
/// <param name="Part">The part it was read from.</param>
internal sealed record OperatingLevel(double Peak, double ExpandedDb, BenchPart Part)
{
    internal const double HalfWidthHz = 100;
    internal const double BlockSeconds = 0.25;

    /// <summary>Its power, as a mean square.</summary>
    internal double Power => Peak * Peak / 2;

    internal static OperatingLevel? Of(BenchCapture capture, int channelIndex)
    {
        foreach (var part in capture.Of(BenchPartKind.LevelTone).OrderBy(p => Math.Abs(Math.Log(p.FrequencyHz!.Value / 1000))))
        {
            if (capture.Clipped.Contains(part.Name) || !part.Channels.Contains(channelIndex + 1))
                continue;
            if (HeardTone.Of(capture, channelIndex, part, HalfWidthHz) is not { } tone)
                continue;
            var (peak, expandedDb) = tone.Level(BlockSeconds);
            return new OperatingLevel(peak / Conversions.DbToAmplitude(part.LevelDb), expandedDb, part);
        }
        return null;
    }

    /// <summary>Why there is none, as a sentence.</summary>
    internal static string WhyNot(BenchCapture capture) =>
        capture.Clipped.Contains("level-1000")
            ? "The level tones clipped: turn the interface's input down and take it again"
            : $"No level tone to measure against: {capture.WhyNot("level-1000")}";
}
