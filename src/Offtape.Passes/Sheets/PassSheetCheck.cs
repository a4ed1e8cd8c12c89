using Offtape.Base;

namespace Offtape.Passes;

/// <summary>What must hold of a sheet before anything is built on it: it may have been edited by hand.</summary>
internal static class PassSheetCheck
{
    /// <exception cref="Fault">Input: which field is impossible.</exception>
    internal static void Check(PassSheet sheet, string path)
    {
        void Need(bool holds, string field)
        {
            if (!holds)
                throw Fault.Input(path, $"its {field} is impossible", null, "Use the sheet as the send wrote it.");
        }

        Need(sheet.FormatVersion == PassSheet.CurrentFormatVersion, "formatVersion");
        Need(!string.IsNullOrWhiteSpace(sheet.PassId), "passId");
        Need(SampleRate.IsSupported(sheet.SampleRateHz), "sampleRateHz");
        Need(sheet.ChannelCount is >= 1 and <= SendJob.MostTracks, "channelCount");
        Need(sheet.PrintRatio is >= RequestCheck.LowestPrintRatio and <= RequestCheck.HighestPrintRatio, "printRatio");
        Need(sheet.SpeedCmPerSecond is null or (> 0 and < 400), "speedCmPerSecond");
        Need(sheet.Items.Count > 0, "list of items");
        for (var i = 0; i < sheet.Items.Count; i++)
        {
            var item = sheet.Items[i];
            var name = $"items[{i}]";
            Need(item.Source.Length > 0 && item.Source.IndexOfAny(['/', '\\']) < 0, name + ".source");
            Need(item.Sha256.Length == 64 && item.Sha256.All(char.IsAsciiHexDigit), name + ".sha256");
            Need(IsTime(item.StartSeconds), name + ".startSeconds");
            Need(IsTime(item.LengthSeconds) && item.LengthSeconds > 0, name + ".lengthSeconds");
            Need(double.IsFinite(item.GainDb), name + ".gainDb");
            Need(AreTracks(item.Tracks), name + ".tracks");
        }
        for (var i = 0; i < sheet.Slates.Count; i++)
        {
            var slate = sheet.Slates[i];
            var name = $"slates[{i}]";
            Need(slate.Number is >= 0 and < 32, name + ".number");
            Need(IsTime(slate.StartSeconds), name + ".startSeconds");
            Need(IsTime(slate.LengthSeconds) && slate.LengthSeconds > 0, name + ".lengthSeconds");
            Need(AreTracks(slate.Tracks), name + ".tracks");
        }
        if (sheet.Stripe is { } stripe)
        {
            Need(AreTracks([stripe.Track]), "stripe.track");
            Need(stripe.TryReadSeed(out _), "stripe.seed");
            Need(IsTime(stripe.StartSeconds), "stripe.startSeconds");
            Need(IsTime(stripe.LengthSeconds) && stripe.LengthSeconds > 0, "stripe.lengthSeconds");
        }

        if (sheet.Run is { } run)
        {
            Need(run.StartCounter is null || double.IsFinite(run.StartCounter.Value), "run.startCounter");
            Need(run.StartSeconds is null || IsTime(run.StartSeconds.Value), "run.startSeconds");
            Need(run.PitchPercent is null || double.IsFinite(run.PitchPercent.Value), "run.pitchPercent");
        }

        bool AreTracks(IReadOnlyList<int> tracks) =>
            tracks.Count > 0 && tracks.All(t => t >= 1 && t <= sheet.ChannelCount) && tracks.Distinct().Count() == tracks.Count;
    }

    // A tape of a week is a mistake.
    private static bool IsTime(double seconds) => seconds is >= 0 and < 7 * 86_400;
}
