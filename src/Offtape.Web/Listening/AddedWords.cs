using Offtape.Base;
using Offtape.Report;

namespace Offtape.Web.Listening;

/// <summary>What was matched before the source was subtracted, as the page says it.</summary>
internal static class AddedWords
{
    public static string Say(IReadOnlyList<ChannelFit>? fits, int sampleRateHz)
    {
        if (fits is null)
            return "What the tape added cannot be told: the lock take and its source are too unlike each other.";
        var channels = fits.Select(
                (f, i) =>
                    (fits.Count > 1 ? $"channel {i + 1} " : "")
                    + $"by {Quantity.Signed(Conversions.AmplitudeToDb(f.Gain), 2, "dB")} and {Quantity.Signed(1e6 * f.DelayFrames / sampleRateHz, 1, "µs")}"
                    + (f.Gain < 0 ? ", turned over" : "")
            )
            .ToList();
        return $"What the tape added is the lock take less its source, after level, delay and polarity were matched: {Words.List(channels)}. "
            + $"Tone was not matched, so treble the tape took is in it too. It lies {Quantity.Of(fits.Min(f => f.UnderDb), 1, "dB")} under the source.";
    }
}
