using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>
/// Finds where the capture is quiet: the recorded silence by its part, and before the first slate and behind the last what is quieter than
/// that. Which of the two it is, the level of its hiss says: tape that no head has magnetised hisses a few dB less than recorded silence, a
/// tape that stands does not hiss at all (common practice, no source for the borders).
/// </summary>
internal static class QuietStretches
{
    private const double MarginSeconds = 0.3;
    private const double SlateMarginSeconds = 0.25;
    private const double BlockSeconds = 0.1;
    private const double ShortestSeconds = 1.5;

    // Longer says no more, and a leader may change on the way.
    private const double LongestSeconds = 15;

    private const double BlankBelowDb = 1.5;
    private const double StoppedBelowDb = 10;

    // A steady stretch keeps within this, block by block.
    private const double SteadyDb = 3;

    // Hiss is listened to above the hum.
    private const double HissFromHz = 1000;

    internal static IReadOnlyList<QuietStretch> Of(BenchCapture capture)
    {
        if (Recorded(capture) is not { } recorded)
            return [];
        var found = new List<QuietStretch> { recorded };
        var reference = HissDb(capture, recorded.FirstFrame, recorded.FrameCount);
        if (double.IsNegativeInfinity(reference))
            return found;
        var outside = Outside(capture);
        foreach (var name in (string[])[QuietStretch.Blank, QuietStretch.Stopped])
        {
            var longest = outside.SelectMany(o => Runs(capture, o.From, o.ToExcl, reference, name)).MaxBy(r => r.FrameCount);
            if (longest is not null)
                found.Add(longest with { FrameCount = (int)Math.Min(longest.FrameCount, LongestSeconds * capture.SampleRateHz) });
        }
        return found;
    }

    /// <summary>The silence that was recorded; null where it was not heard.</summary>
    internal static QuietStretch? Recorded(BenchCapture capture)
    {
        var part = capture.Of(BenchPartKind.Silence).MaxBy(p => p.LengthSeconds);
        if (part is null)
            return null;
        var from = Frame(capture, part.StartSeconds + MarginSeconds);
        var to = Frame(capture, part.StartSeconds + part.LengthSeconds - MarginSeconds);
        return to - from < ShortestSeconds * capture.SampleRateHz ? null : new QuietStretch(QuietStretch.Recorded, from, to - from);
    }

    private static int Frame(BenchCapture capture, double sendSeconds) =>
        (int)Math.Clamp(Math.Round(capture.Clock.CaptureAt(sendSeconds) * capture.SampleRateHz), 0, capture.FrameCount);

    private static (int From, int ToExcl)[] Outside(BenchCapture capture)
    {
        var sheet = capture.Sheet;
        var starts = sheet.Slates.Select(s => s.StartSeconds).Concat(sheet.Parts.Select(p => p.StartSeconds)).DefaultIfEmpty(0);
        var ends = sheet
            .Slates.Select(s => s.StartSeconds + s.LengthSeconds)
            .Concat(sheet.Parts.Select(p => p.StartSeconds + p.LengthSeconds))
            .DefaultIfEmpty(sheet.LengthSeconds);
        return
        [
            (0, Frame(capture, starts.Min() - SlateMarginSeconds)),
            (Frame(capture, ends.Max() + SlateMarginSeconds), capture.FrameCount),
        ];
    }

    private static IEnumerable<QuietStretch> Runs(BenchCapture capture, int from, int toExcl, double referenceDb, string name)
    {
        var size = (int)(BlockSeconds * capture.SampleRateHz);
        var levels = Levels(capture, from, toExcl, size);
        for (var i = 0; i < levels.Length; i++)
        {
            var (first, low, high) = (i, double.PositiveInfinity, double.NegativeInfinity);
            for (; i < levels.Length && Named(levels[i] - referenceDb) == name; i++)
            {
                (low, high) = (Math.Min(low, levels[i]), Math.Max(high, levels[i]));
                if (high - low > SteadyDb)
                    break;
            }
            // A block at each end may hold the moment when the tape started or stopped.
            var blocks = i - first - 2;
            if (blocks * BlockSeconds >= ShortestSeconds)
                yield return new QuietStretch(name, from + (first + 1) * size, blocks * size);
        }
    }

    private static string Named(double againstRecordedDb) =>
        againstRecordedDb < -StoppedBelowDb ? QuietStretch.Stopped
        : againstRecordedDb < -BlankBelowDb ? QuietStretch.Blank
        : "";

    private static double HissDb(BenchCapture capture, int firstFrame, int frameCount) =>
        Conversions.PowerToDb(Levels(capture, firstFrame, firstFrame + frameCount, frameCount).Average(Conversions.DbToPower));

    /// <summary>Hiss of all channels together in blocks, in dB.</summary>
    private static double[] Levels(BenchCapture capture, int from, int toExcl, int size)
    {
        var powers = new double[Math.Max(0, (toExcl - from) / size)];
        var block = new double[Math.Max(0, toExcl - from)];
        for (var channel = 0; channel < capture.ChannelCount; channel++)
        {
            var frames = capture.Channel(channel)[from..toExcl];
            for (var i = 0; i < block.Length; i++)
                block[i] = frames[i];
            new FilterCascade(FilterDesign.ButterworthHighPass(4, HissFromHz, capture.SampleRateHz)).Process(block, block);
            for (var b = 0; b < powers.Length; b++)
            {
                var sum = 0.0;
                foreach (var value in block.AsSpan(b * size, size))
                    sum += value * value;
                powers[b] += sum / size;
            }
        }
        return Array.ConvertAll(powers, Conversions.PowerToDb);
    }
}
