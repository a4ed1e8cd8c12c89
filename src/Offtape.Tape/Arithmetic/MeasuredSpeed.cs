using Offtape.Base;

namespace Offtape.Tape;

/// <summary>
/// A machine's absolute speed from a measured length of tape that ran past in a measured time, with what it may be off by: the shares of two
/// independent errors add up as the root of their squares (JCGM 100:2008, 5.1.6).
/// </summary>
/// <param name="LengthCm">Between two marks on the tape.</param>
/// <param name="LengthErrorCm">What that may be off by.</param>
/// <param name="Seconds">From mark to mark.</param>
/// <param name="ErrorSeconds">What that may be off by.</param>
public sealed record MeasuredSpeed(double LengthCm, double LengthErrorCm, double Seconds, double ErrorSeconds)
{
    public double CmPerSecond => LengthCm / Seconds;

    /// <summary>As a share of the speed.</summary>
    public double ErrorShare => Math.Sqrt(Math.Pow(LengthErrorCm / LengthCm, 2) + Math.Pow(ErrorSeconds / Seconds, 2));

    public double ErrorCmPerSecond => CmPerSecond * ErrorShare;

    /// <summary>The same in cents of pitch: 1200·log2(1 + share).</summary>
    public double ErrorCents => Conversions.RatioToCents(1 + ErrorShare);
}
