using Offtape.Base;

namespace Offtape.Tape;

/// <summary>
/// The way from the record head's gap to the replay head's, along the tape, and how late it makes a return off tape: distance ÷ speed
/// (arithmetic; one stored glossary multiplies, wrongly).
/// </summary>
public static class HeadGap
{
    /// <summary>
    /// Distances between which reel machines lie, in millimetres: from delays of 125 to 175 ms at 15 in/s and 250 to 350 ms at 7½ in/s
    /// (B. Owsinski, The Mixing Engineer's Handbook).
    /// </summary>
    public static (double FromMm, double ToMm) UsualReel { get; } = (47.6, 66.7);

    public static double DelaySeconds(double distanceMm, TapeSpeed speed) => distanceMm / 10 / speed.CmPerSecond;

    public static double DistanceMm(double delaySeconds, TapeSpeed speed) => delaySeconds * speed.CmPerSecond * 10;

    public static TapeSpeed SpeedOf(double distanceMm, double delaySeconds) => new(distanceMm / 10 / delaySeconds);

    /// <summary>
    /// How strongly a wobble of speed at a frequency is heard off tape against its size on the transport: 2·|sin(πf·delay)|. Both heads ride on
    /// one tape, so what changes slowly against the delay nearly cancels.
    /// </summary>
    public static double WobbleGain(double frequencyHz, double delaySeconds) =>
        2 * Math.Abs(Math.Sin(Math.PI * frequencyHz * delaySeconds));
}
