namespace Offtape.Passes.Mapping;

/// <summary>What is summed over the bins of a band, each bin divided by its noise: every quadratic form the solver needs.</summary>
internal enum BandSum
{
    /// <summary>|X|², X the source through machine and tape curve.</summary>
    SourcePower,

    /// <summary>Re D*X, D the source's derivative.</summary>
    SlopeSource,

    /// <summary>|D|².</summary>
    SlopePower,

    /// <summary>Re X*Y, Y the capture along the present map.</summary>
    SourceCapture,

    /// <summary>Re D*Y.</summary>
    SlopeCapture,

    /// <summary>|Y|².</summary>
    CapturePower,

    /// <summary>|X|²·f².</summary>
    SourcePowerHzSquared,

    /// <summary>Share of hiss in the noise.</summary>
    Hiss,

    /// <summary>|V₂|², V₂ the square of the source.</summary>
    SquarePower,

    /// <summary>|V₃|², V₃ the cube of the source.</summary>
    CubePower,

    SquareCube,
    SquareSource,
    CubeSource,
    SquareSlope,
    CubeSlope,
    SquareCapture,
    CubeCapture,
}

/// <summary>The sums of all frames and bands of one pass over a section.</summary>
internal sealed class FrameSums
{
    internal const int Kinds = (int)BandSum.CubeCapture + 1;

    private readonly float[] _values;
    private readonly int _bands;

    internal FrameSums(int frames, int bands)
    {
        (_bands, FrameCount) = (bands, frames);
        _values = new float[frames * bands * Kinds];
    }

    internal int FrameCount { get; }

    internal int BandCount => _bands;

    /// <summary>All sums of one band of one frame, by <see cref="BandSum"/>.</summary>
    internal Span<float> Of(int frame, int band) => _values.AsSpan((frame * _bands + band) * Kinds, Kinds);
}
