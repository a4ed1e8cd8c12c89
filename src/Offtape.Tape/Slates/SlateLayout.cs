namespace Offtape.Tape;

/// <summary>
/// The measures of a slate, format version 1. A slate is made of units. A unit is a falling hyperbolic chirp, a rising one of another
/// length, and two short code chirps (falling and rising) whose places in a window of 128 slots carry one number each.
/// The period of a hyperbolic chirp is linear in time, so it stays itself at any tape speed and only moves: both chirps point at an
/// instant, where their period would be zero, and a change of speed maps that instant like any other. The distance between the two
/// instants gives the speed; which of the two lengths falls gives the direction.
/// </summary>
/// <remarks>J. Yang and T. K. Sarkar (MOTL 48(6), 2006) on the Doppler invariance of hyperbolic chirps.</remarks>
internal static class SlateLayout
{
    internal const int FormatVersion = 1;

    /// <summary>The band that every machine passes, also at less than half speed.</summary>
    internal const double LowHz = 500;
    internal const double HighHz = 6000;

    internal const double FallSeconds = 0.24;
    internal const double RiseStartSeconds = 0.26;
    internal const double RiseSeconds = 0.18;
    internal const double CodeStartSeconds = 0.46;
    internal const double CodeChirpSeconds = 0.036;

    /// <summary>Wide against the 0.5 ms that a worn machine's wobble moves a slot over half a second; wide against a code chirp's envelope.</summary>
    internal const double SlotSeconds = 0.003;
    internal const int SlotCount = 128;

    internal const double UnitSeconds = CodeStartSeconds + (SlotCount - 1) * SlotSeconds + CodeChirpSeconds;

    /// <summary>Head and tail slates say everything twice: leader tape or a late start may take the first.</summary>
    internal const double SecondUnitSeconds = UnitSeconds + 0.12;

    /// <summary>Fade of each chirp, so that its edges do not click into the neighbouring track.</summary>
    internal const double EdgeSeconds = 0.004;

    private const double LowPeriod = 1 / LowHz;
    private const double HighPeriod = 1 / HighHz;

    /// <summary>The instant at which the falling chirp's period would be zero, in seconds from the unit's start (negative: before it).</summary>
    internal const double FallZeroSeconds = -HighPeriod * FallSeconds / (LowPeriod - HighPeriod);

    /// <summary>The instant at which the rising chirp's period would reach zero.</summary>
    internal const double RiseZeroSeconds = RiseStartSeconds + RiseSeconds + HighPeriod * RiseSeconds / (LowPeriod - HighPeriod);

    internal const double ZeroDistanceSeconds = RiseZeroSeconds - FallZeroSeconds;

    internal static double SlotStartSeconds(int symbol) => CodeStartSeconds + symbol * SlotSeconds;

    internal static int UnitCount(SlateKind kind) => kind == SlateKind.Gap ? 1 : 2;

    internal static double UnitStartSeconds(int unitIndex) => unitIndex * SecondUnitSeconds;

    /// <summary>
    /// The first symbol of a unit: kind and number. 0 to 31 head, 32 to 63 gap, 64 to 95 tail, first units; 96 to 111 the second unit of a
    /// head slate, 112 to 127 of a tail slate.
    /// </summary>
    internal static int FirstSymbol(SlateCode code, int unitIndex) =>
        unitIndex == 0 ? (int)code.Kind * 32 + (code.Kind == SlateKind.Gap ? code.Number % 32 : code.Number % 16)
        : code.Kind == SlateKind.Head ? 96 + code.Number % 16
        : 112 + code.Number % 16;

    internal static (SlateKind Kind, int UnitIndex, int Number) ReadFirstSymbol(int symbol) =>
        symbol switch
        {
            < 32 => (SlateKind.Head, 0, symbol % 16),
            < 64 => (SlateKind.Gap, 0, symbol - 32),
            < 96 => (SlateKind.Tail, 0, (symbol - 64) % 16),
            < 112 => (SlateKind.Head, 1, symbol - 96),
            _ => (SlateKind.Tail, 1, symbol - 112),
        };
}
