using Offtape.Signal;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>
/// Times the parts of a check signal more finely than the slates between them do: steady sounds by the shape of their rise and fall, sweeps
/// by a matched filter over each of their middle octaves, at the tape's own pace.
/// </summary>
internal static class EdgeFinder
{
    // The wobble of a worn machine between two slates moves a part by some 40 ms.
    private const double ReachSeconds = 0.09;
    private const double HalfWindowSeconds = 0.35;
    private const double LeastLikeness = 0.9;
    private static readonly double[] OctavesHz = [175, 350, 700, 1400, 2800, 5600];
    private const double LeastCorrelation = 0.5;

    /// <summary>Where a part's edges (or the middles of a sweep's octaves) are heard; none where it cannot be told.</summary>
    /// <param name="channel">The channel that carries it best.</param>
    /// <param name="sampleRateHz">Of the capture.</param>
    /// <param name="part">One that sounds.</param>
    /// <param name="sheet">Its sheet.</param>
    /// <param name="clock">Where it is expected, forwards.</param>
    internal static IEnumerable<(double SendSeconds, double CaptureSeconds)> Find(
        float[] channel,
        int sampleRateHz,
        BenchPart part,
        BenchSheet sheet,
        TimeMap clock
    )
    {
        if (part.Kind == BenchPartKind.Sweep)
            return OctavesHz
                .Select(hz => Octave(channel, sampleRateHz, part, sheet, clock, hz))
                .Where(o => o is not null)
                .Select(o => o!.Value);
        double[] edges = [part.StartSeconds, part.StartSeconds + part.LengthSeconds];
        return edges
            .Select(e => (Send: e, Heard: Edge(channel, sampleRateHz, part, sheet, clock, e)))
            .Where(e => e.Heard is not null)
            .Select(e => (e.Send, e.Heard!.Value));
    }

    private static double? Edge(float[] channel, int sampleRateHz, BenchPart part, BenchSheet sheet, TimeMap clock, double edgeSendSeconds)
    {
        var expectedAt = clock.CaptureAt(edgeSendSeconds);
        var rate = clock.RateAt(edgeSendSeconds);
        var reach = (int)Math.Round(ReachSeconds / LevelTrack.StepSeconds);
        var half = (int)Math.Round(HalfWindowSeconds / LevelTrack.StepSeconds);

        // What is expected, at the tape's own pace there.
        var renderRateHz = sampleRateHz * rate;
        var soundHalf = HalfWindowSeconds + LevelTrack.MarginSeconds;
        var wanted = new float[(int)Math.Ceiling(2 * soundHalf * sampleRateHz) + 1];
        PartSound.Add(
            part,
            sheet.OperatingLevelDbfs,
            (edgeSendSeconds - part.StartSeconds) * renderRateHz - soundHalf * sampleRateHz,
            renderRateHz,
            wanted
        );
        var shape = new double[2 * half + 1];
        LevelTrack.Measure(wanted, sampleRateHz, shape);

        var heardHalf = soundHalf + ReachSeconds;
        var first = (int)Math.Round((expectedAt - heardHalf) * sampleRateHz);
        var count = (int)Math.Ceiling(2 * heardHalf * sampleRateHz) + 1;
        if (first < 0 || first + count > channel.Length)
            return null;
        var heard = new double[2 * (half + reach) + 1];
        LevelTrack.Measure(channel.AsSpan(first, count), sampleRateHz, heard);

        var likeness = new double[2 * reach + 1];
        for (var lag = 0; lag < likeness.Length; lag++)
            likeness[lag] = Likeness(shape, heard.AsSpan(lag, shape.Length));
        var best = Array.IndexOf(likeness, likeness.Max());
        if (likeness[best] < LeastLikeness || best == 0 || best == likeness.Length - 1)
            return null;
        var (a, b, c) = (likeness[best - 1], likeness[best], likeness[best + 1]);
        var fraction = a + c - 2 * b < 0 ? 0.5 * (a - c) / (a + c - 2 * b) : 0;
        // The first heard place stands at first ÷ rate + margin.
        return (double)first / sampleRateHz + LevelTrack.MarginSeconds + (best + fraction + half) * LevelTrack.StepSeconds;
    }

    // Correlation coefficient: gain and a floor of noise do not matter.
    private static double Likeness(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        double sumA = 0;
        double sumB = 0;
        for (var i = 0; i < a.Length; i++)
            (sumA, sumB) = (sumA + a[i], sumB + b[i]);
        var (meanA, meanB) = (sumA / a.Length, sumB / b.Length);
        double ab = 0;
        double aa = 0;
        double bb = 0;
        for (var i = 0; i < a.Length; i++)
        {
            var (x, y) = (a[i] - meanA, b[i] - meanB);
            (ab, aa, bb) = (ab + x * y, aa + x * x, bb + y * y);
        }
        return aa > 0 && bb > 0 ? ab / Math.Sqrt(aa * bb) : 0;
    }

    private static (double SendSeconds, double CaptureSeconds)? Octave(
        float[] channel,
        int sampleRateHz,
        BenchPart part,
        BenchSheet sheet,
        TimeMap clock,
        double fromHz
    )
    {
        var sweep = PartSound.SweepOf(part);
        if (sweep.StartHz > fromHz || sweep.EndHz < 2 * fromHz)
            return null;
        var (from, to) = (sweep.TimeSeconds(fromHz), sweep.TimeSeconds(2 * fromHz));
        var middle = part.StartSeconds + 0.5 * (from + to);
        var renderRateHz = sampleRateHz * clock.RateAt(middle);
        var template = new float[(int)((to - from) * renderRateHz)];
        PartSound.Add(part, sheet.OperatingLevelDbfs, from * renderRateHz, renderRateHz, template);

        var expected = clock.CaptureAt(part.StartSeconds + from) * sampleRateHz;
        var first = (int)Math.Floor(expected - ReachSeconds * sampleRateHz);
        var count = template.Length + (int)(2 * ReachSeconds * sampleRateHz);
        if (first < 0 || first + count > channel.Length)
            return null;
        var matches = TemplateSearch.Find(template, channel.AsSpan(first, count), 1, sampleRateHz / 100);
        return matches.Count > 0 && matches[0].Correlation >= LeastCorrelation
            ? (middle, (first + matches[0].StartFrame + 0.5 * template.Length) / sampleRateHz)
            : null;
    }
}
