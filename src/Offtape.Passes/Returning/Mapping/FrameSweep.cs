using System.Numerics;
using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>
/// Goes over the frames of a section once and sums, band by band, every product that the solver will need, so that its rounds cost nothing
/// more. An instance holds its scratch: one per thread.
/// </summary>
internal sealed class FrameSweep
{
    private readonly RealTransform _transform;
    private readonly float[] _window;
    private readonly float[] _block;
    private readonly float[] _hertzSquared;
    private readonly float[][] _re;
    private readonly float[][] _im;
    private readonly float[] _noise;
    private readonly float[] _inverse;
    private readonly float[] _smooth;
    private readonly float[][] _products;

    /// <param name="windowFrames">A power of two: Hann windows of this length, half overlapping.</param>
    /// <param name="rateHz">Of the signals.</param>
    internal FrameSweep(int windowFrames, double rateHz)
    {
        WindowFrames = windowFrames;
        _transform = new RealTransform(windowFrames);
        (_window, _block) = (new float[windowFrames], new float[windowFrames]);
        Windows.Hann(_window, WindowForm.Periodic);
        var bins = _transform.BinCount;
        BinHz = rateHz / WindowFrames;
        _hertzSquared = new float[bins];
        for (var k = 0; k < bins; k++)
            _hertzSquared[k] = (float)(k * BinHz * k * BinHz);
        (_re, _im) = (New(5, bins), New(5, bins));
        (_noise, _inverse, _smooth) = (new float[bins], new float[bins], new float[bins]);
        _products = New(FrameSums.Kinds, bins);
        foreach (var value in _window)
            WindowEnergy += (double)value * value;
    }

    internal int WindowFrames { get; }

    internal int HopFrames => WindowFrames / 2;

    internal double BinHz { get; }

    internal int BinCount => _transform.BinCount;

    /// <summary>Σ w²: what white noise of unit variance gives in each bin.</summary>
    internal double WindowEnergy { get; }

    /// <summary>Sums all frames; frame k is centred on sample k × <see cref="HopFrames"/> of the section.</summary>
    internal void Run(ShapedSource shaped, ReadOnlySpan<float> capture, BandPlan bands, NoiseModel noise, FrameSums sums)
    {
        for (var frame = 0; frame < sums.FrameCount; frame++)
        {
            var start = frame * HopFrames - WindowFrames / 2;
            Transform(shaped.Sound, start, 0);
            Transform(shaped.Slope, start, 1);
            Transform(capture, start, 2);
            Transform(shaped.Square, start, 3);
            Transform(shaped.Cube, start, 4);
            Weigh(bands, noise);
            Multiply(bands);
            for (var band = 0; band < bands.Count; band++)
                Add(bands.Starts[band], bands.Starts[band + 1], sums.Of(frame, band));
        }
    }

    private void Transform(ReadOnlySpan<float> signal, int start, int index)
    {
        var skip = Math.Clamp(-start, 0, WindowFrames);
        var count = Math.Clamp(signal.Length - start - skip, 0, WindowFrames - skip);
        if (count < WindowFrames)
            Array.Clear(_block);
        var source = signal.Slice(Math.Clamp(start, 0, signal.Length), count);
        var window = _window.AsSpan(skip, count);
        var target = _block.AsSpan(skip, count);
        var lanes = Vector<float>.Count;
        var i = 0;
        for (; i <= count - lanes; i += lanes)
            (new Vector<float>(source[i..]) * new Vector<float>(window[i..])).CopyTo(target[i..]);
        for (; i < count; i++)
            target[i] = source[i] * window[i];
        _transform.Forward(_block, _re[index], _im[index]);
    }

    /// <summary>The noise of each bin: hiss, a share of the sound about the bin, and what the tape's curve may add.</summary>
    private void Weigh(BandPlan bands, NoiseModel noise)
    {
        var (from, to) = (bands.FirstBin, bands.EndBinExcl);
        for (var k = Math.Max(0, from - 1); k < Math.Min(_smooth.Length, to + 1); k++)
            _smooth[k] = _re[0][k] * _re[0][k] + _im[0][k] * _im[0][k];
        var third = 1f / 3;
        for (var k = from; k < to; k++)
        {
            var (before, after) = (k > 0 ? _smooth[k - 1] : 0, k + 1 < _smooth.Length ? _smooth[k + 1] : 0);
            _noise[k] =
                noise.HissPower[k]
                + noise.Error[k] * third * (before + _smooth[k] + after)
                + noise.SquareShare * (_re[3][k] * _re[3][k] + _im[3][k] * _im[3][k])
                + noise.CubeShare * (_re[4][k] * _re[4][k] + _im[4][k] * _im[4][k])
                + 1e-12f;
            _inverse[k] = 1 / _noise[k];
            _products[(int)BandSum.Hiss][k] = noise.HissPower[k] * _inverse[k];
        }
    }

    private void Multiply(BandPlan bands)
    {
        var (from, to) = (bands.FirstBin, bands.EndBinExcl);
        var lanes = Vector<float>.Count;
        // Whole vectors from the first bin on; what lies beyond the last band is not summed.
        for (var k = from; k < to; k += lanes)
        {
            var at = Math.Min(k, _inverse.Length - lanes);
            var weight = new Vector<float>(_inverse.AsSpan(at));
            var (xr, xi) = (Load(_re[0], at), Load(_im[0], at));
            var (dr, di) = (Load(_re[1], at), Load(_im[1], at));
            var (yr, yi) = (Load(_re[2], at), Load(_im[2], at));
            var (sr, si) = (Load(_re[3], at), Load(_im[3], at));
            var (cr, ci) = (Load(_re[4], at), Load(_im[4], at));
            var power = (xr * xr + xi * xi) * weight;
            Store(BandSum.SourcePower, at, power);
            Store(BandSum.SourcePowerHzSquared, at, power * Load(_hertzSquared, at));
            Store(BandSum.SlopeSource, at, (dr * xr + di * xi) * weight);
            Store(BandSum.SlopePower, at, (dr * dr + di * di) * weight);
            Store(BandSum.SourceCapture, at, (xr * yr + xi * yi) * weight);
            Store(BandSum.SlopeCapture, at, (dr * yr + di * yi) * weight);
            Store(BandSum.CapturePower, at, (yr * yr + yi * yi) * weight);
            Store(BandSum.SquarePower, at, (sr * sr + si * si) * weight);
            Store(BandSum.CubePower, at, (cr * cr + ci * ci) * weight);
            Store(BandSum.SquareCube, at, (sr * cr + si * ci) * weight);
            Store(BandSum.SquareSource, at, (sr * xr + si * xi) * weight);
            Store(BandSum.CubeSource, at, (cr * xr + ci * xi) * weight);
            Store(BandSum.SquareSlope, at, (sr * dr + si * di) * weight);
            Store(BandSum.CubeSlope, at, (cr * dr + ci * di) * weight);
            Store(BandSum.SquareCapture, at, (sr * yr + si * yi) * weight);
            Store(BandSum.CubeCapture, at, (cr * yr + ci * yi) * weight);
        }
    }

    private void Add(int from, int to, Span<float> sums)
    {
        for (var kind = 0; kind < FrameSums.Kinds; kind++)
        {
            var row = _products[kind].AsSpan(from, to - from);
            var lanes = Vector<float>.Count;
            var total = Vector<float>.Zero;
            var k = 0;
            for (; k <= row.Length - lanes; k += lanes)
                total += new Vector<float>(row[k..]);
            var sum = Vector.Sum(total);
            for (; k < row.Length; k++)
                sum += row[k];
            sums[kind] = sum;
        }
    }

    private static Vector<float> Load(float[] row, int at) => new(row.AsSpan(at));

    private void Store(BandSum kind, int at, Vector<float> value) => value.CopyTo(_products[(int)kind].AsSpan(at));

    private static float[][] New(int count, int length) => [.. Enumerable.Range(0, count).Select(_ => new float[length])];
}
