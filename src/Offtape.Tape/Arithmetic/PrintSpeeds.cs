using Offtape.Base;

namespace Offtape.Tape;

/// <summary>
/// A print at one speed that is heard at another (arithmetic). What is recorded slower comes back faster; a send that is stretched by the
/// printing ratio comes back as the source was.
/// </summary>
/// <param name="Recorded">The speed of the recording run.</param>
/// <param name="Replayed">The speed of the replay run.</param>
public sealed record PrintSpeeds(TapeSpeed Recorded, TapeSpeed Replayed)
{
    /// <summary>Send duration ÷ source duration that makes the return as fast as the source: replay speed ÷ record speed; 2 prints at half speed.</summary>
    public double PrintRatio => Replayed.CmPerSecond / Recorded.CmPerSecond;

    /// <summary>How far the pitch of a send that was not stretched moves, in cents.</summary>
    public double PlainPitchCents => Conversions.RatioToCents(PrintRatio);

    public double SendSeconds(double sourceSeconds) => sourceSeconds * PrintRatio;

    /// <summary>A send that was not stretched comes back in this time.</summary>
    public double PlainReturnSeconds(double sendSeconds) => sendSeconds / PrintRatio;

    public double TapeCm(double sourceSeconds) => SendSeconds(sourceSeconds) * Recorded.CmPerSecond;

    /// <summary>
    /// The frequency that the recording side of the machine sees where the source has another. Its band so moves up by the ratio: at half speed a
    /// record side good to 10 kHz takes the source's 20 kHz.
    /// </summary>
    public double RecordedHz(double sourceHz) => sourceHz / PrintRatio;

    /// <summary>The frequency of the source that the recording side sees as another.</summary>
    public double SourceHz(double recordedHz) => recordedHz * PrintRatio;

    /// <summary>At which rate a wobble of the recording run is heard.</summary>
    public double HeardWobbleHz(double recordRunHz) => recordRunHz * PrintRatio;
}
