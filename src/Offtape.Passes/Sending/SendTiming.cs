namespace Offtape.Passes;

/// <summary>The fixed measures of a send, in seconds and decibels. None follows a standard: they are this program's own, kept in the sheet.</summary>
internal static class SendTiming
{
    /// <summary>Peak of the sine that is set to the machine's operating level. Common practice, no source: it leaves 12 dB for peaks.</summary>
    internal const double OperatingLevelDbfs = -12;

    /// <summary>Slates stand 12 dB under operating level, whatever the programme's level: clear of saturation and of the noise.</summary>
    internal const double SlateLevelDbfs = OperatingLevelDbfs - 12;

    /// <summary>A source whose peak is further under operating level is told: 36 dB, where a cassette's noise is some 15 dB away (judged, no source).</summary>
    internal const double QuietUnderOperatingLevelDb = 36;

    /// <summary>Silence before the head slate, at least: the machine's noise is measured there.</summary>
    internal const double QuietSeconds = 1.0;

    /// <summary>Silence between a slate and a sound, at least.</summary>
    internal const double LeastClearSeconds = 0.4;

    /// <summary>Silence between the head slate and the first sound, and between the last sound and the tail slate, where there is room.</summary>
    internal const double ClearSeconds = 1.0;

    /// <summary>Silence at the very end of the send.</summary>
    internal const double EndSeconds = 1.0;

    internal const double ToneQuietSeconds = 1.0;
    internal const double ToneSeconds = 20.0;
    internal const double ToneFadeSeconds = 0.05;

    /// <summary>Between a head or tail slate and the stripe.</summary>
    internal const double StripeClearSeconds = 0.1;
    internal const double StripeFadeSeconds = 0.02;

    /// <summary>Blank tape between the leader and the send: the hand that starts it.</summary>
    internal const double MarginStartSeconds = 5;

    /// <summary>Blank tape past the send.</summary>
    internal const double MarginEndSeconds = 5;

    /// <summary>
    /// The line-up tone: 315 Hz at cassette speed, the reference frequency of cassettes (IEC 60094); 1 kHz at every other speed (common
    /// practice, no source).
    /// </summary>
    internal static double ToneHz(double? speedCmPerSecond) => speedCmPerSecond is < 5 ? 315 : 1000;
}
