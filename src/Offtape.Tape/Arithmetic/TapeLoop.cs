using Offtape.Base;

namespace Offtape.Tape;

/// <summary>
/// A loop of tape that holds whole beats: length = beats · 60 ÷ tempo · speed (arithmetic). Lengths go from cut to cut along one edge; a butt
/// splice adds none.
/// </summary>
public static class TapeLoop
{
    /// <summary>The usual angle of a splicing block's cut to the edge of the tape; 90° is straight across.</summary>
    public const double UsualCutDegrees = 45;

    public static double LengthCm(double beats, double tempoBpm, TapeSpeed speed) => beats * 60 / tempoBpm * speed.CmPerSecond;

    public static double TempoBpm(double beats, double lengthCm, TapeSpeed speed) => beats * 60 / (lengthCm / speed.CmPerSecond);

    public static double Beats(double tempoBpm, double lengthCm, TapeSpeed speed) => lengthCm / speed.CmPerSecond * tempoBpm / 60;

    public static double SpeedCmPerSecond(double beats, double tempoBpm, double lengthCm) => lengthCm / (beats * 60 / tempoBpm);

    /// <summary>
    /// How long one sound goes over into the other at the splice, in seconds: a slanting cut reaches width ÷ tan(angle) along the tape
    /// (arithmetic). Straight across it is none, and clicks.
    /// </summary>
    /// <param name="widthMm">Width of the track, or of the whole tape.</param>
    /// <param name="cutDegrees">Between cut and edge, above 0 to 90.</param>
    /// <param name="speed">Of the pass.</param>
    public static double SpliceSeconds(double widthMm, double cutDegrees, TapeSpeed speed) =>
        cutDegrees >= 90 ? 0 : widthMm / Math.Tan(cutDegrees * Math.PI / 180) / 10 / speed.CmPerSecond;

    /// <summary>How much later each turn begins when the loop is cut a millimetre too long, in seconds.</summary>
    public static double SecondsPerMillimetre(TapeSpeed speed) => 0.1 / speed.CmPerSecond;

    /// <summary>How far the pitch control has to go to hold the tempo with a loop that is so much too long, in cents: 1200·log2(1 + error ÷ length).</summary>
    public static double CentsToHold(double errorMm, double lengthCm) => Conversions.RatioToCents(1 + errorMm / 10 / lengthCm);
}
