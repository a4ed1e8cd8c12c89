using Offtape.Signal;

namespace Offtape.Passes.Finding;

/// <summary>A stretch of a source's picture to look for, at one speed.</summary>
/// <param name="SourceIndex">Whose.</param>
/// <param name="StartSeconds">Where it begins in the source.</param>
/// <param name="Speed">Source seconds per capture second it was drawn for.</param>
/// <param name="Decibels">Frame after frame.</param>
internal sealed record PicturePatch(int SourceIndex, double StartSeconds, double Speed, float[] Decibels)
{
    internal int FrameCount => Decibels.Length / SoundPicture.BandCount;
}

/// <summary>A place where a patch fits.</summary>
internal readonly record struct PictureHit(
    int SourceIndex,
    double StartSeconds,
    double LengthSeconds,
    double Speed,
    double CaptureSeconds,
    double Fit
);

/// <summary>
/// Slides patches over the picture of a capture and gives the places of best fit: normalised correlation over all cells, by transforms
/// along time, block after block.
/// </summary>
internal sealed class PictureSearch
{
    private const int TransformLength = 512;
    internal const int LongestPatchFrames = 150;
    private const int HopFrames = TransformLength - LongestPatchFrames;
    private const int Bins = TransformLength / 2 + 1;
    private const double LowestFit = 0.3;

    private readonly RealTransform _transform = new(TransformLength);
    private readonly PicturePatch[] _patches;
    private readonly float[][] _re;
    private readonly float[][] _im;
    private readonly (double Mean, double Deviation)[] _moments;

    internal PictureSearch(IReadOnlyList<PicturePatch> patches)
    {
        _patches = [.. patches];
        _re = new float[_patches.Length][];
        _im = new float[_patches.Length][];
        _moments = new (double, double)[_patches.Length];
        var row = new float[TransformLength];
        for (var p = 0; p < _patches.Length; p++)
        {
            var cells = _patches[p].Decibels;
            double sum = 0,
                squares = 0;
            foreach (var value in cells)
                (sum, squares) = (sum + value, squares + (double)value * value);
            var mean = sum / cells.Length;
            _moments[p] = (mean, Math.Sqrt(Math.Max(squares / cells.Length - mean * mean, 1e-9)));
            (_re[p], _im[p]) = (new float[SoundPicture.BandCount * Bins], new float[SoundPicture.BandCount * Bins]);
            for (var b = 0; b < SoundPicture.BandCount; b++)
            {
                Array.Clear(row);
                for (var f = 0; f < _patches[p].FrameCount; f++)
                    row[f] = cells[f * SoundPicture.BandCount + b] - (float)mean;
                _transform.Forward(row, _re[p].AsSpan(b * Bins, Bins), _im[p].AsSpan(b * Bins, Bins));
            }
        }
    }

    /// <summary>The best places of every patch, best first within each source.</summary>
    /// <param name="capture">Where to look.</param>
    /// <param name="mostPerPatch">How many local maxima to keep of each patch.</param>
    /// <param name="cancellation">Stops it.</param>
    internal List<PictureHit> Search(SoundPicture capture, int mostPerPatch, CancellationToken cancellation)
    {
        var (sums, squares) = RunningSums(capture);
        var best = new PriorityQueue<PictureHit, double>[_patches.Length];
        for (var p = 0; p < best.Length; p++)
            best[p] = new PriorityQueue<PictureHit, double>();
        var (re, im) = (new float[SoundPicture.BandCount * Bins], new float[SoundPicture.BandCount * Bins]);
        var row = new float[TransformLength];
        var (productRe, productIm) = (new float[Bins], new float[Bins]);
        var fits = new double[HopFrames + 2];
        // A patch may begin before the capture does.
        for (var start = -LongestPatchFrames / 2; start < capture.FrameCount; start += HopFrames)
        {
            cancellation.ThrowIfCancellationRequested();
            for (var b = 0; b < SoundPicture.BandCount; b++)
            {
                for (var f = 0; f < TransformLength; f++)
                {
                    var frame = start + f;
                    row[f] = frame >= 0 && frame < capture.FrameCount ? capture.Decibels[frame * SoundPicture.BandCount + b] : 0;
                }
                _transform.Forward(row, re.AsSpan(b * Bins, Bins), im.AsSpan(b * Bins, Bins));
            }
            for (var p = 0; p < _patches.Length; p++)
            {
                Correlate(p, re, im, productRe, productIm);
                _transform.Inverse(productRe, productIm, row);
                Fits(p, row, start, sums, squares, fits);
                Keep(p, fits, start, best[p], mostPerPatch);
            }
        }
        var hits = new List<PictureHit>();
        foreach (var queue in best)
            hits.AddRange(queue.UnorderedItems.Select(i => i.Element));
        hits.Sort((a, b) => b.Fit.CompareTo(a.Fit));
        return hits;
    }

    private void Correlate(int p, float[] re, float[] im, float[] productRe, float[] productIm)
    {
        Array.Clear(productRe);
        Array.Clear(productIm);
        var (patchRe, patchIm) = (_re[p], _im[p]);
        for (var b = 0; b < SoundPicture.BandCount; b++)
            Accumulate(
                re.AsSpan(b * Bins, Bins),
                im.AsSpan(b * Bins, Bins),
                patchRe.AsSpan(b * Bins, Bins),
                patchIm.AsSpan(b * Bins, Bins),
                productRe,
                productIm
            );
    }

    // product += x · conj(y)
    private static void Accumulate(
        Span<float> xr,
        Span<float> xi,
        Span<float> yr,
        Span<float> yi,
        Span<float> productRe,
        Span<float> productIm
    )
    {
        var lanes = System.Numerics.Vector<float>.Count;
        var k = 0;
        for (; k <= Bins - lanes; k += lanes)
        {
            var (a, b) = (new System.Numerics.Vector<float>(xr[k..]), new System.Numerics.Vector<float>(xi[k..]));
            var (c, d) = (new System.Numerics.Vector<float>(yr[k..]), new System.Numerics.Vector<float>(yi[k..]));
            (new System.Numerics.Vector<float>(productRe[k..]) + a * c + b * d).CopyTo(productRe[k..]);
            (new System.Numerics.Vector<float>(productIm[k..]) + b * c - a * d).CopyTo(productIm[k..]);
        }
        for (; k < Bins; k++)
        {
            productRe[k] += xr[k] * yr[k] + xi[k] * yi[k];
            productIm[k] += xi[k] * yr[k] - xr[k] * yi[k];
        }
    }

    private void Fits(int p, float[] correlation, int start, double[] sums, double[] squares, double[] fits)
    {
        var frames = _patches[p].FrameCount;
        var cells = (double)frames * SoundPicture.BandCount;
        for (var i = 0; i < fits.Length; i++)
        {
            // One more at each end than this block owns, so that a maximum at its edge is seen whole.
            var lag = i - 1;
            var (from, to) = (Math.Clamp(start + lag, 0, sums.Length - 1), Math.Clamp(start + lag + frames, 0, sums.Length - 1));
            var mean = (sums[to] - sums[from]) / cells;
            var variance = (squares[to] - squares[from]) / cells - mean * mean;
            // The patch's own mean was taken out, so the capture's does not matter in the product.
            fits[i] = lag < 0 || variance < 0.5 ? 0 : correlation[lag] / (cells * _moments[p].Deviation * Math.Sqrt(variance));
        }
    }

    private void Keep(int p, double[] fits, int start, PriorityQueue<PictureHit, double> best, int most)
    {
        for (var i = 1; i < fits.Length - 1; i++)
        {
            if (fits[i] < LowestFit || fits[i] < fits[i - 1] || fits[i] <= fits[i + 1])
                continue;
            if (best.Count >= most && best.TryPeek(out _, out var lowest) && lowest >= fits[i])
                continue;
            var patch = _patches[p];
            var seconds = (start + i - 1) * SoundPicture.StepSeconds;
            best.Enqueue(
                new PictureHit(
                    patch.SourceIndex,
                    patch.StartSeconds,
                    patch.FrameCount * SoundPicture.StepSeconds * patch.Speed,
                    patch.Speed,
                    seconds,
                    fits[i]
                ),
                fits[i]
            );
            if (best.Count > most)
                best.Dequeue();
        }
    }

    private static (double[] Sums, double[] Squares) RunningSums(SoundPicture capture)
    {
        var (sums, squares) = (new double[capture.FrameCount + 1], new double[capture.FrameCount + 1]);
        for (var f = 0; f < capture.FrameCount; f++)
        {
            double sum = 0,
                square = 0;
            foreach (var value in capture.Decibels.AsSpan(f * SoundPicture.BandCount, SoundPicture.BandCount))
                (sum, square) = (sum + value, square + (double)value * value);
            (sums[f + 1], squares[f + 1]) = (sums[f] + sum, squares[f] + square);
        }
        return (sums, squares);
    }
}
