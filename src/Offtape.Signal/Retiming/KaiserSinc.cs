namespace Offtape.Signal;

/// <summary>
/// The retimer's interpolation kernel as a continuous function: an ideal low-pass (sinc) under a Kaiser window
/// (J. F. Kaiser, "Nonrecursive digital filter design using the I0-sinh window function", 1974; the empirical length and beta
/// formulas are Kaiser's, as in Oppenheim and Schafer, "Discrete-Time Signal Processing", section on Kaiser windows).
/// </summary>
/// <remarks>
/// The pass band ends at <see cref="PassEdge"/> × bandwidth and the stop band begins at bandwidth exactly, so nothing at or above the
/// band limit is left to alias or to leave an image.
/// </remarks>
internal sealed class KaiserSinc
{
    /// <summary>
    /// End of the pass band as a share of the band limit: 0.9, room for one rung of the ladder of bandwidths, and 0.2 % for sounds that
    /// move while the kernel passes over them.
    /// </summary>
    public const double PassEdge = 0.9 * BandLadder.RungRatio * 1.002;

    private readonly double _cutoff;
    private readonly double _halfWidthFrames;
    private readonly double _beta;
    private readonly double _windowScale;

    /// <param name="bandwidth">The band limit as a share of the input's Nyquist frequency, above 0 and at most 1.</param>
    /// <param name="halfWidthFrames">Half the kernel's support, in input frames.</param>
    public KaiserSinc(double bandwidth, double halfWidthFrames)
    {
        _cutoff = bandwidth * (1 + PassEdge) / 2;
        _halfWidthFrames = halfWidthFrames;
        var transitionRadiansPerFrame = Math.PI * bandwidth * (1 - PassEdge);
        AttenuationDb = 7.95 + 2.285 * transitionRadiansPerFrame * 2 * halfWidthFrames;
        _beta = 0.1102 * (AttenuationDb - 8.7);
        _windowScale = 1 / BesselI0(_beta);
    }

    /// <summary>Stop-band attenuation and pass-band error that the window's length allows, by Kaiser's formula.</summary>
    public double AttenuationDb { get; }

    public double At(double offsetFrames)
    {
        var share = offsetFrames / _halfWidthFrames;
        var underRoot = 1 - share * share;
        if (underRoot <= 0)
            return 0;
        var window = BesselI0(_beta * Math.Sqrt(underRoot)) * _windowScale;
        var angle = Math.PI * _cutoff * offsetFrames;
        var sinc = Math.Abs(angle) < 1e-9 ? 1 : Math.Sin(angle) / angle;
        return _cutoff * sinc * window;
    }

    // The power series; its terms fall fast for the arguments met here (below 20), to the last bit of a double.
    public static double BesselI0(double x)
    {
        var quarterSquare = x * x / 4;
        double sum = 1;
        double term = 1;
        for (var k = 1; term > sum * 1e-17; k++)
        {
            term *= quarterSquare / ((double)k * k);
            sum += term;
        }
        return sum;
    }
}
