using Offtape.Passes.Following;
using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Judging;

/// <summary>
/// Whether a take went through tape at all. A send that came straight back is the source at one constant delay: coherent to the last in
/// every band. No tape is: even a hundredth of a per cent of flutter turns the highs by a tenth of a radian.
/// </summary>
internal static class TapeTest
{
    private const int WindowFrames = NoiseSpectrum.WindowFrames;
    private const int TransformLength = NoiseSpectrum.TransformLength;
    private const double StraightCoherence = 0.9995;
    private const double LargestRatioError = 5e-5;

    internal static bool NeverWentThrough(FollowedTake take, CancellationToken cancellation)
    {
        if (Math.Abs(take.RelativeSpeed * take.NominalSpeed - 1) > 3e-4 || take.IsReversed)
            return false;
        using var sourceEar = new Ear(take.Source.Recording);
        using var captureEar = new Ear(take.Capture.Recording);
        var (source, capture) = (sourceEar.Channel(take.SourceChannel), captureEar.Channel(take.CaptureChannel));
        var middle = 0.5 * (take.FirstHeard + take.LastHeard);
        var lag = take.Curve.CaptureAt(middle) - middle;
        var ends = take.Curve.CaptureAt(take.LastHeard) - take.Curve.CaptureAt(take.FirstHeard) - (take.LastHeard - take.FirstHeard);
        if (Math.Abs(ends) > 2e-4 + LargestRatioError * (take.LastHeard - take.FirstHeard))
            return false;
        return Coherences(source, capture, take, lag, cancellation) is { Count: >= 3 } bands && bands[bands.Count / 5] > StraightCoherence;
    }

    // Third-octave coherences at one constant lag, in ascending order; only bands and windows with sound in them.
    private static List<double> Coherences(
        WorkingSignal source,
        WorkingSignal capture,
        FollowedTake take,
        double lag,
        CancellationToken cancellation
    )
    {
        var transform = new RealTransform(TransformLength);
        var window = new float[WindowFrames];
        Windows.Hann(window, WindowForm.Symmetric);
        var edges = new List<int>();
        for (var hertz = 100.0; hertz < 7000; hertz *= Math.Pow(2, 1.0 / 3))
            edges.Add((int)Math.Round(hertz * TransformLength / WorkingSignal.UsualRateHz));
        var bands = new (double Re, double Im, double Source, double Capture)[edges.Count - 1];
        var (sourceRe, sourceIm) = (new float[transform.BinCount], new float[transform.BinCount]);
        var (captureRe, captureIm) = (new float[transform.BinCount], new float[transform.BinCount]);
        var (padded, raw, shifted) = (new float[TransformLength], new float[WindowFrames + 256], new float[WindowFrames]);
        var count = Math.Clamp((int)((take.LastHeard - take.FirstHeard) / 0.02), 4, 400);
        for (var w = 0; w < count; w++)
        {
            cancellation.ThrowIfCancellationRequested();
            var centre = take.FirstHeard + (take.LastHeard - take.FirstHeard) * (w + 0.5) / count;
            var frame = (long)Math.Round(centre * WorkingSignal.UsualRateHz) - WindowFrames / 2;
            source.Read(frame, padded.AsSpan(0, WindowFrames));
            Transform(transform, padded, window, sourceRe, sourceIm);
            var position = frame + lag * WorkingSignal.UsualRateHz;
            var from = (long)Math.Floor(position) - 128;
            capture.Read(from, raw);
            Retimer.RenderFixed(raw, from, position, 1, shifted);
            shifted.CopyTo(padded, 0);
            Transform(transform, padded, window, captureRe, captureIm);
            for (var b = 0; b < bands.Length; b++)
            {
                for (var k = edges[b]; k < edges[b + 1]; k++)
                {
                    bands[b].Re += captureRe[k] * sourceRe[k] + captureIm[k] * sourceIm[k];
                    bands[b].Im += captureIm[k] * sourceRe[k] - captureRe[k] * sourceIm[k];
                    bands[b].Source += sourceRe[k] * sourceRe[k] + sourceIm[k] * sourceIm[k];
                    bands[b].Capture += captureRe[k] * captureRe[k] + captureIm[k] * captureIm[k];
                }
            }
        }
        var loudest = bands.Max(b => b.Source);
        return
        [
            .. bands
                .Where(b => b.Source > 1e-5 * loudest && b.Capture > 0)
                .Select(b => (b.Re * b.Re + b.Im * b.Im) / (b.Source * b.Capture))
                .Order(),
        ];
    }

    private static void Transform(RealTransform transform, float[] padded, float[] window, float[] re, float[] im)
    {
        for (var i = 0; i < WindowFrames; i++)
            padded[i] *= window[i];
        padded.AsSpan(WindowFrames).Clear();
        transform.Forward(padded, re, im);
    }
}
