namespace Offtape.Bench;

/// <summary>
/// The pulses of a polarity part: the negative second derivative of a bell (a Ricker wavelet), tall on one side and shallow on the other,
/// with no DC and next to nothing below 100 Hz, where machines turn the phase.
/// </summary>
/// <remarks>N. Ricker, "The form and laws of propagation of seismic wavelets", Geophysics 18(1), 1953.</remarks>
public static class PolarityPulses
{
    public const int Count = 8;

    /// <summary>Where the spectrum is highest. It is 20 dB down at 170 Hz and at 1.5 kHz.</summary>
    public const double PeakHz = 600;

    public const double SpacingSeconds = 0.25;

    /// <summary>Length of a polarity part.</summary>
    public const double LengthSeconds = Count * SpacingSeconds;

    /// <summary>Middle of a pulse, from the part's start; the first is 0.</summary>
    public static double CentreSeconds(int index) => (index + 0.5) * SpacingSeconds;

    /// <summary>The value at a time after the part's start: 1 in the middle of a pulse, −0.446 on either side of it.</summary>
    public static double At(double timeSeconds)
    {
        var index = Math.Clamp((int)Math.Floor(timeSeconds / SpacingSeconds), 0, Count - 1);
        var u = Math.PI * PeakHz * (timeSeconds - CentreSeconds(index));
        return (1 - 2 * u * u) * Math.Exp(-u * u);
    }
}
