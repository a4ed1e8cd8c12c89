using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>
/// Reads speed, wow and flutter from the speed tone of a check signal, and names the turning parts that its lines may come from.
/// </summary>
internal static class SpeedReader
{
    internal const int MostLineReadings = 10;

    internal static Findings Read(BenchCapture capture, MachineFacts facts, CancellationToken cancellation)
    {
        var part = capture.Of(BenchPartKind.SpeedTone).FirstOrDefault();
        if (part is null)
            return Nothing(capture.How, capture.WhyNot("speed-3150"));
        var measured = Measure(capture, part);
        cancellation.ThrowIfCancellationRequested();
        return measured is null
            ? Nothing(capture.How, $"no tone of {ToneMeter.LeastSeconds:0} s is heard where {part.Name} should be")
            : Findings(measured, capture.How, part.FrequencyHz, facts);
    }

    /// <summary>The measurement of a part; its seconds count from the capture's first frame.</summary>
    internal static ToneMeasurement? Measure(BenchCapture capture, BenchPart part)
    {
        var channels = part
            .Channels.Where(c => c <= capture.ChannelCount)
            .Select(c => (ReadOnlyMemory<float>)capture.Part(part, c - 1).ToArray())
            .ToArray();
        if (channels.Length == 0 || ToneMeter.Measure(channels, capture.SampleRateHz) is not { } m)
            return null;
        var (a, b) = (capture.Clock.CaptureAt(part.StartSeconds), capture.Clock.CaptureAt(part.StartSeconds + part.LengthSeconds));
        var from = Math.Clamp(Math.Round(Math.Min(a, b) * capture.SampleRateHz), 0, capture.FrameCount) / capture.SampleRateHz;
        return m with { StartSeconds = m.StartSeconds + from, MeanFromSeconds = m.MeanFromSeconds + from };
    }

    /// <summary>All that is found in a measured tone.</summary>
    internal static Findings Findings(ToneMeasurement m, HowTaken how, double? nominalHz, MachineFacts facts)
    {
        var comb = Comb(facts);
        var parts = Candidates(m, how, facts);
        return new Findings
        {
            Readings =
            [
                .. SpeedReadings.Speed(m, how, nominalHz),
                .. SpeedReadings.Figures(m, how, comb),
                .. SpeedReadings.Lines(m, how, comb, MostLineReadings),
                .. PartReadings.Of(parts, how, facts),
            ],
            Curves = SpeedCurves.Of(m, how, comb),
            Notices = SpeedNotices.Of(m, how, parts),
        };
    }

    internal static WobbleComb? Comb(MachineFacts facts) =>
        facts is { HeadDistanceMm: { } mm and > 0, SpeedCmPerSecond: { } speed }
            ? new WobbleComb(HeadGap.DelaySeconds(mm, new TapeSpeed(speed)))
            : null;

    /// <summary>Empty where the tape speed is not known: without it no frequency belongs to a size.</summary>
    internal static IReadOnlyList<PartCandidate> Candidates(ToneMeasurement m, HowTaken how, MachineFacts facts)
    {
        if (facts.SpeedCmPerSecond is not { } speed)
            return [];
        var comb = how == HowTaken.OffTape ? Comb(facts) : null;
        var lines = new List<SpeedLine>();
        foreach (var heard in m.Lines.Where(l => !l.IsSound))
        {
            var undo = comb?.Undo(heard.Line.FrequencyHz) ?? 1;
            if (double.IsFinite(undo))
                lines.Add(heard.Line with { PeakPercent = heard.Line.PeakPercent * undo });
        }
        return PartRanking.Rank(lines, m.Spectrum.LobeHz, UsualParts.For(facts, speed));
    }

    private static Findings Nothing(HowTaken how, string reason) =>
        new()
        {
            Readings =
            [
                .. SpeedReadings
                    .Names(how)
                    .Select(q => new Reading
                    {
                        Quantity = q,
                        Unit = "%",
                        Method = "of the speed tone",
                        Reason = reason,
                    }),
            ],
        };
}
