using System.Numerics;

namespace Offtape.Tape;

/// <summary>One hyperbolic chirp of a slate, with its fades, in closed form.</summary>
/// <param name="StartHz">Frequency at its first instant.</param>
/// <param name="EndHz">Frequency at its last instant.</param>
/// <param name="DurationSeconds">Its length at the speed it was made for.</param>
internal sealed record SlateChirp(double StartHz, double EndHz, double DurationSeconds)
{
    internal static readonly SlateChirp Fall = new(SlateLayout.HighHz, SlateLayout.LowHz, SlateLayout.FallSeconds);
    internal static readonly SlateChirp Rise = new(SlateLayout.LowHz, SlateLayout.HighHz, SlateLayout.RiseSeconds);
    internal static readonly SlateChirp CodeFall = new(SlateLayout.HighHz, SlateLayout.LowHz, SlateLayout.CodeChirpSeconds);
    internal static readonly SlateChirp CodeRise = new(SlateLayout.LowHz, SlateLayout.HighHz, SlateLayout.CodeChirpSeconds);

    /// <summary>The same chirp heard backwards.</summary>
    internal SlateChirp Reversed => new(EndHz, StartHz, DurationSeconds);

    private double StartPeriod => 1 / StartHz;

    private double PeriodSlope => (1 / EndHz - 1 / StartHz) / DurationSeconds;

    /// <summary>The instant, in seconds from the chirp's start, at which its period is zero.</summary>
    internal double ZeroSeconds => -StartPeriod / PeriodSlope;

    /// <summary>The analytic value at a time from the chirp's start; zero outside it. Phase: (1/k)·ln(p(t)/p(0)) cycles for a period p(t) = p(0) + k·t.</summary>
    internal Complex At(double seconds)
    {
        if (seconds < 0 || seconds > DurationSeconds)
            return Complex.Zero;
        var cycles = Math.Log(1 + PeriodSlope * seconds / StartPeriod) / PeriodSlope;
        var edge = Math.Min(seconds, DurationSeconds - seconds);
        var fade = edge >= SlateLayout.EdgeSeconds ? 1 : 0.5 - 0.5 * Math.Cos(Math.PI * edge / SlateLayout.EdgeSeconds);
        return Complex.FromPolarCoordinates(fade, 2 * Math.PI * cycles);
    }

    /// <summary>
    /// The chirp as it sounds at another speed, sampled for use as a template: quadrature pair, scaled to unit energy over both.
    /// </summary>
    /// <param name="speedRatio">Above 1: faster, shorter and higher.</param>
    /// <param name="sampleRateHz">Rate of the template; parts of the chirp above 0.47 of it are left out.</param>
    internal (float[] InPhase, float[] Quadrature) Template(double speedRatio, double sampleRateHz)
    {
        var length = (int)Math.Floor(DurationSeconds / speedRatio * sampleRateHz) + 1;
        var (inPhase, quadrature) = (new float[length], new float[length]);
        double energy = 0;
        for (var i = 0; i < length; i++)
        {
            var seconds = i / sampleRateHz * speedRatio;
            var hertz = speedRatio / (StartPeriod + PeriodSlope * seconds);
            var value = hertz > 0.47 * sampleRateHz ? Complex.Zero : At(seconds);
            (inPhase[i], quadrature[i]) = ((float)value.Real, (float)value.Imaginary);
            energy += value.Real * value.Real;
        }
        var scale = (float)(1 / Math.Sqrt(Math.Max(energy, 1e-30)));
        for (var i = 0; i < length; i++)
            (inPhase[i], quadrature[i]) = (inPhase[i] * scale, quadrature[i] * scale);
        return (inPhase, quadrature);
    }
}
