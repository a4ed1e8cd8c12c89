using System.Numerics;

namespace Offtape.Signal;

/// <summary>
/// e^(ikα) for k = 0, 1, 2 …, a vector of them at a time: turned from one to the next, and set right by the library's sine and cosine
/// every 32 vectors, so that the error stays near 1e−14.
/// </summary>
internal struct TurningVector
{
    private const int VectorsBetweenSettings = 32;

    private readonly double angle;
    private readonly Vector<double> laneRe;
    private readonly Vector<double> laneIm;
    private readonly Vector<double> stepRe;
    private readonly Vector<double> stepIm;
    private Vector<double> re;
    private Vector<double> im;
    private int count;

    /// <param name="angle">α in radians.</param>
    public TurningVector(double angle)
    {
        this.angle = angle;
        Span<double> lanes = stackalloc double[2 * Vector<double>.Count];
        for (var lane = 0; lane < Vector<double>.Count; lane++)
            (lanes[Vector<double>.Count + lane], lanes[lane]) = Math.SinCos(angle * lane);
        (laneRe, laneIm) = (new Vector<double>(lanes), new Vector<double>(lanes[Vector<double>.Count..]));
        var (sine, cosine) = Math.SinCos(angle * Vector<double>.Count);
        (stepRe, stepIm) = (new Vector<double>(cosine), new Vector<double>(sine));
    }

    /// <summary>The next <see cref="Vector{T}.Count"/> values.</summary>
    public (Vector<double> Re, Vector<double> Im) Next()
    {
        if (count % VectorsBetweenSettings == 0)
        {
            var (sine, cosine) = Math.SinCos(angle * ((long)count * Vector<double>.Count));
            re = laneRe * cosine - laneIm * sine;
            im = laneRe * sine + laneIm * cosine;
        }
        count++;
        var now = (re, im);
        (re, im) = (re * stepRe - im * stepIm, re * stepIm + im * stepRe);
        return now;
    }
}
