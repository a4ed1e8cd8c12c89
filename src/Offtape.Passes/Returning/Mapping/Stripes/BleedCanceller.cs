using Offtape.Passes.Listening;
using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>
/// Takes the stripe out of frames of a capture's channel: the stripe through the bleed's response, at the moments at which it is heard there.
/// Any division of the capture gives the same result to within rounding. An instance holds its scratch: one per thread.
/// </summary>
internal sealed class BleedCanceller : IDisposable
{
    private const int BlockFrames = 4096;
    private const int KeptFrames = BlockFrames / 2;

    // The map bends over milliseconds: exact at every 16th frame, a straight line between.
    private const int Stride = 16;

    private readonly StripeBleed _bleed;
    private readonly double _captureRateHz;
    private readonly Ear _ear;
    private readonly RealTransform _transform = new(BlockFrames);
    private readonly float[] _re;
    private readonly float[] _im;
    private readonly float[] _responseRe;
    private readonly float[] _responseIm;
    private readonly float[] _block = new float[BlockFrames];
    private readonly float[] _result = new float[BlockFrames];
    private readonly Dictionary<long, float[]> _filtered = [];
    private double[] _positions = [];
    private float[] _stripe = [];
    private float[] _heard = [];

    /// <param name="bleed">With a response.</param>
    /// <param name="captureRateHz">Of the frames.</param>
    internal BleedCanceller(StripeBleed bleed, double captureRateHz)
    {
        (_bleed, _captureRateHz) = (bleed, captureRateHz);
        var stripe = bleed.Stripe;
        _ear = new Ear(stripe.Source.Recording, stripe.NominalSpeed, stripe.IsReversed, MapSection.RateHz);
        (_re, _im) = (new float[_transform.BinCount], new float[_transform.BinCount]);
        (_responseRe, _responseIm) = bleed.Response!.Sampled(_transform.BinCount, MapSection.RateHz);
    }

    /// <summary>Subtracts in place.</summary>
    /// <param name="firstFrame">The capture's frame that channel[0] is.</param>
    /// <param name="channel">Of the capture, as recorded.</param>
    internal void Subtract(long firstFrame, Span<float> channel)
    {
        if (_positions.Length < channel.Length)
            (_positions, _heard) = (new double[channel.Length], new float[channel.Length]);
        var positions = _positions.AsSpan(0, channel.Length);
        var largest = 1e-3;
        var before = At(firstFrame);
        for (var i = 0; i < positions.Length; i += Stride)
        {
            var after = At(firstFrame + i + Stride);
            for (var k = i; k < Math.Min(i + Stride, positions.Length); k++)
                positions[k] = before + (after - before) * (k - i) / Stride;
            largest = Math.Max(largest, (after - before) / Stride);
            before = after;
        }
        var bandwidth = Retimer.BandwidthForStep(Math.Min(largest, 8));
        var margin = Retimer.HalfWidthFramesForBandwidth(bandwidth) + 2;
        var from = (long)Math.Floor(positions[0]) - margin;
        var count = (int)(Math.Ceiling(positions[^1]) - from) + margin + 1;
        if (_stripe.Length < count)
            _stripe = new float[count];
        var stripe = _stripe.AsSpan(0, count);
        Read(from, stripe);
        var heard = _heard.AsSpan(0, channel.Length);
        Retimer.Render(stripe, from, positions, bandwidth, heard);
        for (var i = 0; i < channel.Length; i++)
            channel[i] -= heard[i];
    }

    private double At(long frame) => _bleed.StripeAtCapture.CaptureAt(frame / _captureRateHz) * MapSection.RateHz;

    private void Read(long firstFrame, Span<float> output)
    {
        while (!output.IsEmpty)
        {
            var index = (long)Math.Floor((double)firstFrame / KeptFrames);
            var within = (int)(firstFrame - index * KeptFrames);
            var count = Math.Min(output.Length, KeptFrames - within);
            Filtered(index).AsSpan(within, count).CopyTo(output);
            output = output[count..];
            firstFrame += count;
        }
    }

    /// <summary>Overlap-save: a quarter of a block on either side is room for 43 ms of the response before and after.</summary>
    private float[] Filtered(long index)
    {
        if (_filtered.TryGetValue(index, out var known))
            return known;
        // Frames come in order: what is far behind is not asked for again.
        foreach (var old in _filtered.Keys.Where(k => Math.Abs(k - index) > 40).ToList())
            _filtered.Remove(old);
        _ear.Channel(0).Read(index * KeptFrames - KeptFrames / 2, _block);
        _transform.Forward(_block, _re, _im);
        for (var k = 0; k < _re.Length; k++)
            (_re[k], _im[k]) = (_re[k] * _responseRe[k] - _im[k] * _responseIm[k], _re[k] * _responseIm[k] + _im[k] * _responseRe[k]);
        _transform.Inverse(_re, _im, _result);
        return _filtered[index] = _result.AsSpan(KeptFrames / 2, KeptFrames).ToArray();
    }

    public void Dispose() => _ear.Dispose();
}
