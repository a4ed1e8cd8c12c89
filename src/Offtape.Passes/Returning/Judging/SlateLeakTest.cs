using Offtape.Passes.Listening;
using Offtape.Passes.Slates;
using Offtape.Signal;
using Offtape.Tape;

namespace Offtape.Passes.Judging;

/// <summary>
/// Whether the send leaks into a capture beside the tape, by the slates: they are known to the sample, stand in quiet, and their impulse
/// response has one peak for the tape and, where the send leaks in, another ahead of it that keeps the send's own time from slate to
/// slate.
/// </summary>
internal static class SlateLeakTest
{
    private const int Length = 1 << 16;

    // From the shortest way between two heads to the longest at the slowest speed.
    private const double NearestSeconds = 0.012;
    private const double FarthestSeconds = 1.5;
    private const double LeastOverBackground = 4;
    private const double LeastOverNearby = 4.5;
    private const double LeastBelowTapeDb = -48;
    private const double QuietMarginSeconds = 0.05;

    /// <summary>Level of the leak against the tape, dB, and how far ahead of it; null where there is none.</summary>
    internal static (double LevelDb, double AheadSeconds)? Find(LocatedPass pass, Recording capture, CancellationToken cancellation)
    {
        // What leaks in does so while the send plays: then the tape runs at the send's own speed.
        if (pass.IsReversed || Math.Abs(pass.SpeedRatio - 1) > 0.001)
            return null;
        using var ear = new Ear(capture);
        var strongest = ((double LevelDb, double AheadSeconds)?)null;
        for (var channel = 0; channel < ear.ChannelCount; channel++)
        {
            cancellation.ThrowIfCancellationRequested();
            if (FindIn(pass, ear.Channel(channel)) is { } leak && (strongest is null || leak.LevelDb > strongest.Value.LevelDb))
                strongest = leak;
        }
        return strongest;
    }

    private static (double LevelDb, double AheadSeconds)? FindIn(LocatedPass pass, WorkingSignal capture)
    {
        var rate = WorkingSignal.UsualRateHz;
        var transform = new RealTransform(Length);
        var axis = (int)(FarthestSeconds * rate);
        var responses = new List<(float[] Response, double Tape, double Noise)>();
        foreach (var slate in pass.Sheet.Slates.Where(s => !pass.Missing.Contains(s)))
        {
            var main = pass.CaptureAt(slate.StartSeconds);
            var (x, y) = (new float[Length], new float[Length]);
            var code = new SlateCode(slate.Kind, slate.Number, Slate.ShortPassNumber(pass.Sheet.PassId));
            var audio = Slate.Synthesise(code, (int)rate);
            // The first unit only: the second of a head slate would look like a leak of the first.
            var unit = (int)(Slate.FirstUnitSeconds * rate);
            audio.AsSpan(0, unit).CopyTo(x);
            var from = (long)Math.Round(main * rate) - axis;
            capture.Read(from, y.AsSpan(0, axis + unit));
            Quieten(pass, slate, y, from, rate);
            var response = Deconvolve(transform, x, y);
            var (tape, background) = Levels(response, axis, rate);
            if (tape <= 0)
                continue;
            // Onto the send's own time: the leak then stands at one lag in all.
            var drift = from + axis - (slate.StartSeconds + (pass.Anchors[0].CaptureSeconds - pass.Anchors[0].SendSeconds)) * rate;
            responses.Add((Shift(response, (int)Math.Round(drift), axis, rate), tape, background));
        }
        return responses.Count == 0 ? null : Judge(responses, axis, rate);
    }

    // Only the quiet about the slate is listened to: the sounds before and after it would drown a leak.
    private static void Quieten(LocatedPass pass, SheetSlate slate, float[] y, long from, double rate)
    {
        var before = double.NegativeInfinity;
        var after = double.PositiveInfinity;
        foreach (var item in pass.Sheet.Items)
        {
            var (start, end) = (item.StartSeconds, item.StartSeconds + item.SendLengthSeconds);
            if (end <= slate.StartSeconds + 1e-6)
                before = Math.Max(before, pass.CaptureAt(end) + QuietMarginSeconds);
            else if (start >= slate.StartSeconds)
                after = Math.Min(after, pass.CaptureAt(start) - QuietMarginSeconds);
        }
        foreach (var other in pass.Sheet.Slates.Where(s => s != slate))
        {
            if (other.StartSeconds < slate.StartSeconds)
                before = Math.Max(before, pass.CaptureAt(other.StartSeconds + other.LengthSeconds));
        }
        for (var i = 0; i < y.Length; i++)
        {
            var seconds = (from + i) / rate;
            if (seconds < before || seconds > after)
                y[i] = 0;
        }
    }

    private static float[] Deconvolve(RealTransform transform, float[] x, float[] y)
    {
        var bins = transform.BinCount;
        var (xr, xi, yr, yi) = (new float[bins], new float[bins], new float[bins], new float[bins]);
        transform.Forward(x, xr, xi);
        transform.Forward(y, yr, yi);
        double mean = 0;
        for (var k = 0; k < bins; k++)
            mean += (xr[k] * xr[k] + xi[k] * xi[k]) / bins;
        var (low, high) = ((int)(550 * Length / WorkingSignal.UsualRateHz), (int)(5500 * Length / WorkingSignal.UsualRateHz));
        for (var k = 0; k < bins; k++)
        {
            var power = xr[k] * xr[k] + xi[k] * xi[k] + 0.03 * mean;
            // A raised cosine over the band: a hard edge would ring for as long as the leak may be ahead.
            var window = k > low && k < high ? 0.5 - 0.5 * Math.Cos(2 * Math.PI * (k - low) / (high - low)) : 0;
            var (re, im) = (yr[k] * xr[k] + yi[k] * xi[k], yi[k] * xr[k] - yr[k] * xi[k]);
            (yr[k], yi[k]) = ((float)(window * re / power), (float)(window * im / power));
        }
        var response = new float[Length];
        transform.Inverse(yr, yi, response);
        return response;
    }

    private static (double Tape, double Background) Levels(float[] response, int axis, double rate)
    {
        double tape = 0,
            background = 0;
        var near = (int)(NearestSeconds * rate);
        for (var i = axis - near; i <= axis + near; i++)
            tape = Math.Max(tape, Math.Abs(response[i]));
        for (var i = 0; i < axis - near; i++)
            background += (double)response[i] * response[i];
        return (tape, Math.Sqrt(background / (axis - near)));
    }

    private static float[] Shift(float[] response, int drift, int axis, double rate)
    {
        var near = (int)(NearestSeconds * rate);
        var shifted = new float[axis];
        for (var i = 0; i < axis; i++)
        {
            // Lag i of the common axis is lag i − drift of this slate; what is near the tape's own peak stays out.
            var k = i - drift;
            shifted[i] = k >= 0 && k < axis - near ? response[k] : 0;
        }
        return shifted;
    }

    private static (double LevelDb, double AheadSeconds)? Judge(
        List<(float[] Response, double Tape, double Noise)> responses,
        int axis,
        double rate
    )
    {
        var sum = new double[axis];
        double weights = 0;
        foreach (var (response, tape, noise) in responses)
        {
            // The quieter the surroundings of a slate, the more it says.
            var relative = noise / tape + 1e-5;
            var weight = 1 / (relative * relative);
            for (var i = 0; i < axis; i++)
                sum[i] += weight * response[i] / tape;
            weights += weight;
        }
        double background = 0;
        for (var i = 0; i < axis; i++)
        {
            sum[i] /= weights;
            background += sum[i] * sum[i];
        }
        background = Math.Sqrt(background / axis);
        // The highest peak may be the slate's own sidelobe: the next ones are looked at as well.
        var order = Enumerable
            .Range(1, axis - 2)
            .Where(i => Math.Abs(sum[i]) >= Math.Abs(sum[i - 1]) && Math.Abs(sum[i]) > Math.Abs(sum[i + 1]));
        foreach (var peak in order.OrderByDescending(i => Math.Abs(sum[i])).Take(60))
        {
            // What the tape's wobble makes of a slate's own chirps is spread over milliseconds; a wire's peak stands alone.
            double nearby = 0;
            var counted = 0;
            for (var i = Math.Max(0, peak - 240); i < Math.Min(axis, peak + 240); i++)
            {
                if (Math.Abs(i - peak) > 16 && sum[i] != 0)
                    (nearby, counted) = (nearby + sum[i] * sum[i], counted + 1);
            }
            var level = Math.Abs(sum[peak]);
            var isAlone = counted > 0 && level > LeastOverNearby * Math.Sqrt(nearby / counted);
            var levelDb = 20 * Math.Log10(level + 1e-12);
            if (isAlone && level > LeastOverBackground * background && levelDb > LeastBelowTapeDb)
                return (levelDb, (axis - peak) / rate);
        }
        return null;
    }
}
