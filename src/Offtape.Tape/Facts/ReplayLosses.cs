using Offtape.Base;

namespace Offtape.Tape;

/// <summary>
/// What replay loses at short wavelengths, in dB: 0 or negative. Lengths are in micrometres unless they say otherwise; a wavelength is
/// <see cref="TapeSpeed.WavelengthMicrometres"/>.
/// </summary>
public static class ReplayLosses
{
    /// <summary>The effective gap against the optical one (handbooks give 1.11 to 1.14, after Westmijze).</summary>
    public const double EffectiveGapFactor = 1.11;

    /// <summary>Spacing loss in dB when the tape stands off by one wavelength: 40π·log10 e = 54.575 (Wallace 1951; "54.6" in print).</summary>
    public static readonly double SpacingDbPerWavelength = 40 * Math.PI * Math.Log10(Math.E);

    /// <summary>The gap as a plain aperture: 20·log10 |sin(πg/λ)/(πg/λ)|. Textbook form.</summary>
    public static double SimpleGapDb(double gapMicrometres, double wavelengthMicrometres) =>
        ApertureDb(gapMicrometres / wavelengthMicrometres);

    /// <summary>
    /// The gap with its effective length, 20·log10 |sin(1.11πg/λ)/(1.11πg/λ)| (J. Eargle, Electroacoustical Reference Data, 1994,
    /// equation 167.1).
    /// </summary>
    public static double GapDb(double gapMicrometres, double wavelengthMicrometres) =>
        ApertureDb(EffectiveGapFactor * gapMicrometres / wavelengthMicrometres);

    /// <summary>Tape off the head by a distance: −54.575·d/λ (Wallace 1951).</summary>
    public static double SpacingDb(double distanceMicrometres, double wavelengthMicrometres) =>
        -SpacingDbPerWavelength * distanceMicrometres / wavelengthMicrometres;

    /// <summary>
    /// The depth of the coating, evenly magnetised: 20·log10 [(1 − e^(−2πδ/λ))/(2πδ/λ)] (Wallace 1951). Real tape loses less at first and more
    /// at last: its magnetisation grows from the surface down.
    /// </summary>
    public static double ThicknessDb(double thicknessMicrometres, double wavelengthMicrometres)
    {
        var x = 2 * Math.PI * thicknessMicrometres / wavelengthMicrometres;
        return x == 0 ? 0 : Conversions.AmplitudeToDb((1 - Math.Exp(-x)) / x);
    }

    /// <summary>Heads that stand askew to each other across a track: the aperture w·tan α. Textbook form.</summary>
    public static double AzimuthDb(double trackWidthMm, double angleRadians, double wavelengthMicrometres) =>
        ApertureDb(trackWidthMm * 1000 * Math.Tan(angleRadians) / wavelengthMicrometres);

    /// <summary>
    /// How late one track is against another when the heads stand askew to each other: s·tan α/v. Reproduces the table of J. McKnight, "Azimuth
    /// in a Magnetic Tape Recorder".
    /// </summary>
    public static double InterTrackSeconds(double trackSpacingMm, double angleRadians, TapeSpeed speed) =>
        trackSpacingMm / 10 * Math.Tan(angleRadians) / speed.CmPerSecond;

    /// <summary>The angle between heads that makes one track late against another: the inverse of <see cref="InterTrackSeconds"/>.</summary>
    public static double AzimuthRadians(double trackSpacingMm, double interTrackSeconds, TapeSpeed speed) =>
        Math.Atan(interTrackSeconds * speed.CmPerSecond * 10 / trackSpacingMm);

    private static double ApertureDb(double aperturesPerWavelength)
    {
        var x = Math.PI * aperturesPerWavelength;
        return x == 0 ? 0 : Conversions.AmplitudeToDb(Math.Sin(x) / x);
    }
}
