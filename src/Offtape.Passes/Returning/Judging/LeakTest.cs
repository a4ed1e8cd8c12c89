using Offtape.Passes.Following;
using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Judging;

/// <summary>
/// Whether the send itself leaks into the capture beside the tape: the impulse response from source to capture, by deconvolution over
/// whole takes, has a second peak ahead of the tape's at exactly the source's own speed. What wanders with the tape is smeared there,
/// what came through a wire is not.
/// </summary>
internal static class LeakTest
{
    private const int BlockFrames = 1 << 15;
    private const int Length = 1 << 16;

    // From the shortest way between two heads to the longest at the slowest speed.
    private const double NearestSeconds = 0.03;
    private const double FarthestSeconds = 1.6;
    private const double LeastOverBackground = 16;
    private const double LeastBelowTapeDb = -46;

    /// <summary>Level of the leak against the tape, dB, and how far ahead of it; null where there is none.</summary>
    internal static (double LevelDb, double AheadSeconds)? Find(IReadOnlyList<FollowedTake> takesOfOnePass, CancellationToken cancellation)
    {
        var transform = new RealTransform(Length);
        var bins = transform.BinCount;
        var (crossRe, crossIm, power) = (new double[bins], new double[bins], new double[bins]);
        foreach (var take in takesOfOnePass)
        {
            if (take.NominalSpeed != 1 || take.IsReversed || Math.Abs(take.RelativeSpeed - 1) > 0.003)
                continue;
            Accumulate(take, transform, crossRe, crossIm, power, cancellation);
        }
        var mean = power.Average();
        return mean <= 0 ? null : Judge(transform, crossRe, crossIm, power, mean);
    }

    private static void Accumulate(
        FollowedTake take,
        RealTransform transform,
        double[] crossRe,
        double[] crossIm,
        double[] power,
        CancellationToken cancellation
    )
    {
        using var sourceEar = new Ear(take.Source.Recording);
        using var captureEar = new Ear(take.Capture.Recording);
        var (source, capture) = (sourceEar.Channel(take.SourceChannel), captureEar.Channel(take.CaptureChannel, take.Polarity));
        // The lag axis ends at the tape's own place at the take's beginning; all takes of a pass are laid over each other by it.
        var start = (long)Math.Round(take.StartCaptureSeconds * WorkingSignal.UsualRateHz);
        var ahead = (long)(FarthestSeconds * WorkingSignal.UsualRateHz);
        var (x, y) = (new float[Length], new float[Length]);
        var (xr, xi) = (new float[transform.BinCount], new float[transform.BinCount]);
        var (yr, yi) = (new float[transform.BinCount], new float[transform.BinCount]);
        for (long at = 0; at < source.FrameCount; at += BlockFrames)
        {
            cancellation.ThrowIfCancellationRequested();
            x.AsSpan().Clear();
            source.Read(at, x.AsSpan(0, BlockFrames));
            capture.Read(start + at - ahead, y);
            transform.Forward(x, xr, xi);
            transform.Forward(y, yr, yi);
            for (var k = 0; k < xr.Length; k++)
            {
                crossRe[k] += yr[k] * xr[k] + yi[k] * xi[k];
                crossIm[k] += yi[k] * xr[k] - yr[k] * xi[k];
                power[k] += xr[k] * xr[k] + xi[k] * xi[k];
            }
        }
    }

    private static (double LevelDb, double AheadSeconds)? Judge(
        RealTransform transform,
        double[] crossRe,
        double[] crossIm,
        double[] power,
        double mean
    )
    {
        var (re, im) = (new float[power.Length], new float[power.Length]);
        var (selfRe, selfIm) = (new float[power.Length], new float[power.Length]);
        var low = (int)(150 * Length / WorkingSignal.UsualRateHz);
        var high = (int)(6500 * Length / WorkingSignal.UsualRateHz);
        for (var k = low; k < high; k++)
        {
            var below = power[k] + 0.02 * mean;
            (re[k], im[k]) = ((float)(crossRe[k] / below), (float)(crossIm[k] / below));
            selfRe[k] = (float)(power[k] / below);
        }
        var (response, self) = (new float[Length], new float[Length]);
        transform.Inverse(re, im, response);
        transform.Inverse(selfRe, selfIm, self);
        var ahead = (int)(FarthestSeconds * WorkingSignal.UsualRateHz);
        var slack = (int)(0.01 * WorkingSignal.UsualRateHz);
        var main = ahead;
        for (var i = ahead - slack; i <= ahead + slack; i++)
            main = Math.Abs(response[i]) > Math.Abs(response[main]) ? i : main;
        double tape = 0;
        for (var i = main - slack; i <= main + slack; i++)
            tape += (double)response[i] * response[i];
        var from = slack;
        var to = main - (int)(NearestSeconds * WorkingSignal.UsualRateHz);
        double background = 0;
        for (var i = from; i < to; i++)
            background += (double)response[i] * response[i];
        background = Math.Sqrt(background / (to - from));
        var best = from;
        for (var i = from; i < to; i++)
            best = Math.Abs(response[i]) > Math.Abs(response[best]) ? i : best;
        // A sound that repeats itself has such a peak of its own making.
        double own = 0;
        for (var d = -3; d <= 3; d++)
            own = Math.Max(own, Math.Abs(self[(best - main + d) & (Length - 1)] / self[0]));
        double leak = 0;
        for (var i = best - 8; i <= best + 8; i++)
            leak += (double)response[i] * response[i];
        leak = Math.Max(leak - 17 * background * background, 0);
        var levelDb = 10 * Math.Log10(leak / tape + 1e-12);
        var isPeak = Math.Abs(response[best]) > LeastOverBackground * background;
        var isOwn = Math.Sqrt(leak / tape) < 4 * own;
        return isPeak && !isOwn && levelDb > LeastBelowTapeDb ? (levelDb, (main - best) / WorkingSignal.UsualRateHz) : null;
    }
}
