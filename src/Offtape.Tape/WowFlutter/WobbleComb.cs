namespace Offtape.Tape;

/// <summary>
/// What two heads on one tape make of its wobble: heard off tape, each frequency is multiplied by 2·|sin(πf·delay)|
/// (<see cref="HeadGap.WobbleGain"/>). Undone where that is above <see cref="LeastGain"/>, and not known elsewhere.
/// </summary>
/// <param name="DelaySeconds">From the record head to the replay head.</param>
public readonly record struct WobbleComb(double DelaySeconds)
{
    /// <summary>Below this the wobble on the transport is not told from noise and from other wobble.</summary>
    public const double LeastGain = 0.3;

    /// <summary>The lowest frequency that can be undone.</summary>
    public double LowestHz => Math.Asin(LeastGain / 2) / (Math.PI * DelaySeconds);

    public bool Holds(double frequencyHz) => HeadGap.WobbleGain(frequencyHz, DelaySeconds) > LeastGain;

    /// <summary>What a wobble heard at a frequency is to be multiplied by; not a number where it cannot be undone.</summary>
    public double Undo(double frequencyHz) => Holds(frequencyHz) ? 1 / HeadGap.WobbleGain(frequencyHz, DelaySeconds) : double.NaN;
}
