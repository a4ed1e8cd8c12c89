using Offtape.Base;
using Offtape.Report;

namespace Offtape.Web.Listening;

/// <summary>What was matched before the source was subtracted, as the page says it.</summary>
internal static class AddedWords
{
    public static string Say(IReadOnlyList<ChannelFit>? fits, int sampleRateHz)
    {
        if (fits is null)
            return "What the tape added cannot be told: the source or its take is silent.";
        var channels = fits.Select(
                (f, i) =>
                    (fits.Count > 1 ? $"channel {i + 1} " : "")
                    + $"by {Quantity.Signed(Conversions.AmplitudeToDb(f.Gain), 2, "dB")} and {Quantity.Signed(1e6 * f.DelayFrames / sampleRateHz, 1, "µs")}"
                    + (f.Gain < 0 ? ", turned over" : "")
            )
            .ToList();
        return $"The lock take less its source, the take first brought nearest to it: {Words.List(channels)}. Tone and phase were not matched, "
            + $"so treble that the tape took and bass that it turned are in it. It lies {Quantity.Of(fits.Min(f => f.UnderDb), 1, "dB")} under the source.";
    }

    public static string SayToneAside(IReadOnlyList<ChannelFit>? fits) =>
        fits is null
            ? Say(null, 1)
            : $"The lock take less its source, with level, delay, tone and phase matched by a filter of {Words.Number(fits[0].Tone.Length, 0)} taps: "
                + "hiss, hum, distortion, dropouts and what lock could not follow are left.";
}
