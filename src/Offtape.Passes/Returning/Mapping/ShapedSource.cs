using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>A section of the source as it should come back: through the tape's curve and the machine's response, with what goes with it.</summary>
internal sealed class ShapedSource
{
    // Room for 85 ms of the response before and after what a block gives.
    private const int MarginFrames = 2048;
    private const int BlockFrames = 16_384;
    private const int HopFrames = BlockFrames - 2 * MarginFrames;

    // The derivative ends here, smoothly: its step at the Nyquist frequency would ring through the whole block.
    private const double SlopeEndShare = 0.96;

    private readonly double _rateHz;
    private readonly RealTransform _transform = new(BlockFrames);
    private readonly float[] _block = new float[BlockFrames];
    private readonly float[] _result = new float[BlockFrames];
    private readonly float[] _re;
    private readonly float[] _im;
    private readonly float[] _turnedRe;
    private readonly float[] _turnedIm;
    private readonly float[] _turn;
    private readonly float[] _unshaped;

    internal ShapedSource(int frames, double rateHz)
    {
        _rateHz = rateHz;
        (Sound, Slope, Square, Cube, Bent) = (
            new float[frames],
            new float[frames],
            new float[frames],
            new float[frames],
            new float[frames]
        );
        var bins = _transform.BinCount;
        (_re, _im, _turnedRe, _turnedIm) = (new float[bins], new float[bins], new float[bins], new float[bins]);
        (_turn, _unshaped) = (new float[bins], new float[frames]);
        for (var k = 0; k < bins; k++)
        {
            var share = (double)k / (bins - 1);
            var fade = share < SlopeEndShare ? 1 : 0.5 + 0.5 * Math.Cos(Math.PI * (share - SlopeEndShare) / (1 - SlopeEndShare));
            _turn[k] = (float)(fade * Math.PI * share * rateHz);
        }
    }

    /// <summary>Source through curve and response.</summary>
    internal float[] Sound { get; }

    /// <summary>Its derivative by time, per second.</summary>
    internal float[] Slope { get; }

    /// <summary>The source's square (less its mean) through the response.</summary>
    internal float[] Square { get; }

    /// <summary>The source's cube through the response.</summary>
    internal float[] Cube { get; }

    /// <summary>Source through the curve alone.</summary>
    internal float[] Bent { get; }

    /// <summary>Bends the source by the tape's curve into <see cref="Bent"/>.</summary>
    internal void Bend(ReadOnlySpan<float> source, TapeCurve curve)
    {
        var (square, cube, mean) = ((float)curve.Square, (float)curve.Cube, (float)(curve.Square * MeanSquare(source)));
        for (var i = 0; i < source.Length; i++)
        {
            var x = source[i];
            Bent[i] = x + square * x * x - mean + cube * x * x * x;
        }
    }

    /// <summary>Fills everything from <see cref="Bent"/> and the source.</summary>
    /// <param name="source">The source.</param>
    /// <param name="response">The machine's.</param>
    /// <param name="keepsProducts">
    /// <see cref="Square"/> and <see cref="Cube"/> stay as they are: they only say where distortion is to be feared, for which the response of
    /// the pass before is good enough.
    /// </param>
    internal void Shape(ReadOnlySpan<float> source, MachineResponse response, bool keepsProducts = false)
    {
        var (re, im) = response.Sampled(_transform.BinCount, _rateHz);
        Filter(Bent, re, im, Sound, Slope);
        if (keepsProducts)
            return;
        var mean = (float)MeanSquare(source);
        for (var i = 0; i < source.Length; i++)
        {
            Square[i] = source[i] * source[i] - mean;
            Cube[i] = source[i] * source[i] * source[i];
        }
        if (ReferenceEquals(response, MachineResponse.Straight))
            return;
        foreach (var product in (float[][])[Square, Cube])
        {
            product.CopyTo(_unshaped, 0);
            Filter(_unshaped, re, im, product, null);
        }
    }

    private static double MeanSquare(ReadOnlySpan<float> source)
    {
        double sum = 0;
        foreach (var value in source)
            sum += (double)value * value;
        return sum / Math.Max(source.Length, 1);
    }

    // Overlap-save.
    private void Filter(float[] input, float[] responseRe, float[] responseIm, float[] output, float[]? slope)
    {
        for (var start = 0; start < input.Length; start += HopFrames)
        {
            var from = start - MarginFrames;
            var skip = Math.Max(0, -from);
            var count = Math.Min(BlockFrames - skip, input.Length - from - skip);
            Array.Clear(_block);
            if (count > 0)
                input.AsSpan(from + skip, count).CopyTo(_block.AsSpan(skip));
            _transform.Forward(_block, _re, _im);
            for (var k = 0; k < _re.Length; k++)
                (_re[k], _im[k]) = (_re[k] * responseRe[k] - _im[k] * responseIm[k], _re[k] * responseIm[k] + _im[k] * responseRe[k]);
            Save(_re, _im, start, output);
            if (slope is null)
                continue;
            for (var k = 0; k < _re.Length; k++)
            {
                (_turnedRe[k], _turnedIm[k]) = (-_turn[k] * _im[k], _turn[k] * _re[k]);
            }
            Save(_turnedRe, _turnedIm, start, slope);
        }
    }

    private void Save(float[] re, float[] im, int start, float[] output)
    {
        _transform.Inverse(re, im, _result);
        var count = Math.Min(HopFrames, output.Length - start);
        _result.AsSpan(MarginFrames, count).CopyTo(output.AsSpan(start));
    }
}
