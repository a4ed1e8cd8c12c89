using Offtape.Base;

namespace Offtape.Tape;

/// <summary>A reference fluxivity: what a meter's 0 dB or a calibration tape's level stands for.</summary>
/// <param name="NanowebersPerMetre">Short-circuit flux for each metre of track width, RMS.</param>
/// <param name="FrequencyHz">The usual frequency of the tone; null where none is usual.</param>
/// <param name="UsedFor">Where it is met.</param>
public sealed record ReferenceFluxivity(double NanowebersPerMetre, double? FrequencyHz, string UsedFor);

/// <summary>
/// Reference fluxivities and the levels between them. Values after MRL Publication 070 and McKnight, Cortez and McKnight, "Tape Flux
/// Measurement Revisited" (JAES); frequencies are usual, and from secondary sources.
/// </summary>
public static class Fluxivity
{
    /// <summary>
    /// Tapes measured in the German way are labelled about 10 % high: 320 on the label is 288 by the AC short-circuit method of AES7
    /// ("Tape Flux Measurement Revisited").
    /// </summary>
    public const double ShortCircuitShareOfGermanLabel = 0.9;

    public static IReadOnlyList<ReferenceFluxivity> All { get; } =
    [
        new(160, null, "0 dB of old cassette meters"),
        new(185, 700, "operating level of American reels"),
        new(200, 400, "noise reduction level of cassettes (220 by the open-circuit reading)"),
        new(250, 315, "0 dB of IEC cassettes; \"+3\" of American reels"),
        new(320, 1000, "IEC and DIN studio reels"),
        new(355, null, "\"+6\" of American reels"),
        new(510, 1000, "DIN stereo reels (514 in German usage)"),
    ];

    /// <summary>The level of one fluxivity against another: 20·log10(flux ÷ reference).</summary>
    public static double LevelDb(double nanowebersPerMetre, double referenceNanowebersPerMetre) =>
        Conversions.AmplitudeToDb(nanowebersPerMetre / referenceNanowebersPerMetre);

    /// <summary>A flux in millimaxwells over the whole of a track's width, as early German standards state it: 1 mMx = 0.01 nWb.</summary>
    public static double FromMillimaxwells(double millimaxwells, double trackWidthMm) => millimaxwells * 0.01 / (trackWidthMm * 1e-3);

    /// <summary>What a German label stands for by the AC short-circuit method.</summary>
    public static double FromGermanLabel(double labelledNanowebersPerMetre) => labelledNanowebersPerMetre * ShortCircuitShareOfGermanLabel;
}
