using Offtape.Base;

namespace Offtape.Tape;

/// <summary>
/// A recording characteristic: how the flux on tape depends on frequency, as two time constants. Above 1/(2πT1) the flux falls, below 1/(2πT2)
/// it rises; a machine of the same characteristic undoes it in replay.
/// </summary>
/// <param name="Name">As a switch or a box names it: "NAB", "Type II".</param>
/// <param name="Medium">"cassette", or the reel speed: "reel 19.05 cm/s".</param>
/// <param name="CmPerSecond">The speed it belongs to.</param>
/// <param name="TrebleMicroseconds">T1.</param>
/// <param name="BassMicroseconds">T2; ∞ where the standard has none.</param>
/// <param name="IsCurrent">Still in force when machines of the trade were last made; old ones matter for old tapes.</param>
/// <param name="Source">The standard, or the collection that lists it.</param>
public sealed record Equalisation(
    string Name,
    string Medium,
    double CmPerSecond,
    double TrebleMicroseconds,
    double BassMicroseconds,
    bool IsCurrent,
    string Source
)
{
    /// <summary>Where the flux is 3 dB down, in Hz: 1/(2πT1).</summary>
    public double TrebleTransitionHz => TransitionHz(TrebleMicroseconds);

    /// <summary>Where the flux is 3 dB up, in Hz: 1/(2πT2); 0 where there is no lift.</summary>
    public double BassTransitionHz => double.IsPositiveInfinity(BassMicroseconds) ? 0 : TransitionHz(BassMicroseconds);

    /// <summary>
    /// Recorded short-circuit flux against frequency in dB (IEC 60094-1:1981, clause 15):
    /// N(f) = 10·log10(1 + 1/(2πf·T2)²) − 10·log10(1 + (2πf·T1)²). The zero is the formula's own, not a reference frequency's.
    /// </summary>
    public double FluxDbAt(double frequencyHz)
    {
        var w = 2 * Math.PI * frequencyHz;
        var bass = double.IsPositiveInfinity(BassMicroseconds) ? 0 : 1 / (w * BassMicroseconds * 1e-6);
        var treble = w * TrebleMicroseconds * 1e-6;
        return Conversions.PowerToDb(1 + bass * bass) - Conversions.PowerToDb(1 + treble * treble);
    }

    /// <summary>Replay gain after the 6 dB an octave of integration that every replay amplifier has: the inverse of the flux.</summary>
    public double ReplayGainDbAt(double frequencyHz) => -FluxDbAt(frequencyHz);

    /// <summary>What is heard too much, in dB, of a tape of this characteristic replayed on a machine set to another.</summary>
    public double HeardOn(Equalisation replay, double frequencyHz) => FluxDbAt(frequencyHz) + replay.ReplayGainDbAt(frequencyHz);

    private static double TransitionHz(double microseconds) => 1e6 / (2 * Math.PI * microseconds);
}
