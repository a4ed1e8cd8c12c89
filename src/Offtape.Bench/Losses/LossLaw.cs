using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>What takes treble away in replay, each by a law of its own.</summary>
internal enum LossLaw
{
    Gap,
    Spacing,
    Thickness,
    Azimuth,
}

internal static class LossLaws
{
    internal static IReadOnlyList<LossLaw> All { get; } = [LossLaw.Gap, LossLaw.Spacing, LossLaw.Thickness, LossLaw.Azimuth];

    /// <summary>As conditions have it.</summary>
    internal static string Word(this LossLaw law) =>
        law switch
        {
            LossLaw.Gap => "gap",
            LossLaw.Spacing => "spacing",
            LossLaw.Thickness => "thickness",
            _ => "azimuth",
        };

    /// <summary>Loss in dB, 0 or negative, by a size in micrometres: for azimuth the aperture, track width times the tangent of the angle.</summary>
    internal static double Db(this LossLaw law, double sizeMicrometres, double wavelengthMicrometres) =>
        Math.Max(DeepestDb, Exact(law, sizeMicrometres, wavelengthMicrometres));

    // A null is never heard as deep as it is.
    private const double DeepestDb = -60;

    private static double Exact(LossLaw law, double sizeMicrometres, double wavelengthMicrometres) =>
        law switch
        {
            LossLaw.Gap => ReplayLosses.GapDb(sizeMicrometres, wavelengthMicrometres),
            LossLaw.Spacing => ReplayLosses.SpacingDb(sizeMicrometres, wavelengthMicrometres),
            LossLaw.Thickness => ReplayLosses.ThicknessDb(sizeMicrometres, wavelengthMicrometres),
            _ => ReplayLosses.SimpleGapDb(sizeMicrometres, wavelengthMicrometres),
        };

    /// <summary>The largest size that is looked at, against the shortest wavelength: past an aperture's null, which may lie within
    /// the band; or 60 dB.</summary>
    internal static double LargestOverWavelength(this LossLaw law) =>
        law switch
        {
            LossLaw.Gap => 1.3 / ReplayLosses.EffectiveGapFactor,
            LossLaw.Spacing => 60 / ReplayLosses.SpacingDbPerWavelength,
            LossLaw.Thickness => 60,
            _ => 1.3,
        };
}
