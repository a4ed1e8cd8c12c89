namespace Offtape.AudioFiles;

/// <summary>
/// Numbers to integers of n bits: value · 2^(n−1), rounded to the nearest, ties to even. What does not fit saturates and is counted; NaN
/// becomes 0 and is counted with it.
/// </summary>
internal sealed class SampleQuantiser
{
    private readonly double _scale;
    private readonly TriangularDither? _dither;

    /// <param name="bits">8, 16, 24 or 32.</param>
    /// <param name="dither">Added to floats that are reduced to 16 bits or fewer; null for none.</param>
    public SampleQuantiser(int bits, TriangularDither? dither)
    {
        _scale = 1L << (bits - 1);
        // A float holds 24 bits: of more there is nothing to reduce, and 24-bit steps are far below any tape's or converter's noise.
        _dither = bits <= 16 ? dither : null;
    }

    public long ClippedSampleCount { get; private set; }

    public int FromFloat(float value) => Quantise(value * _scale + (_dither?.Next() ?? 0));

    /// <summary>Without dither.</summary>
    public int FromDouble(double value) => Quantise(value * _scale);

    private int Quantise(double steps)
    {
        var whole = Math.Round(steps, MidpointRounding.ToEven);
        if (whole >= -_scale && whole <= _scale - 1)
            return (int)whole;
        ClippedSampleCount++;
        return double.IsNaN(whole) ? 0 : (int)Math.Clamp(whole, -_scale, _scale - 1);
    }
}
