using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>What must hold of a sheet before anything is built on it: it may have been edited by hand.</summary>
internal static class BenchSheetCheck
{
    private const double LongestSeconds = 3600;
    private const int MostParts = 1000;
    private const int MostSteps = 1000;

    /// <exception cref="Fault">Input: which field is impossible.</exception>
    internal static void Check(BenchSheet sheet, string path)
    {
        void Need(bool holds, string field)
        {
            if (!holds)
                throw Fault.Input(path, $"its {field} is impossible", null, "Use the sheet as bench signals wrote it.");
        }

        Need(sheet.FormatVersion == BenchSheet.CurrentFormatVersion, "formatVersion");
        Need(!string.IsNullOrWhiteSpace(sheet.SheetId), "sheetId");
        Need(SampleRate.IsSupported(sheet.SampleRateHz) && sheet.SampleRateHz >= BenchSheetRequest.LowestSampleRateHz, "sampleRateHz");
        Need(sheet.ChannelCount is >= 1 and <= BenchSheetRequest.MostChannels, "channelCount");
        Need(sheet.OperatingLevelDbfs is >= BenchSheetRequest.LowestLevelDbfs and <= 0, "operatingLevelDbfs");
        Need(sheet.LengthSeconds is > 0 and <= LongestSeconds, "lengthSeconds");
        Need(sheet.Parts.Count is > 0 and <= MostParts, "list of parts");
        Need(sheet.Parts.Select(p => p.Name).Distinct(StringComparer.Ordinal).Count() == sheet.Parts.Count, "list of parts");
        for (var i = 0; i < sheet.Parts.Count; i++)
        {
            if (WhatIsWrong(sheet.Parts[i], sheet) is { } field)
                Need(false, $"parts[{i}].{field}");
        }
        for (var i = 0; i < sheet.Slates.Count; i++)
        {
            var slate = sheet.Slates[i];
            Need(slate.Number is >= 0 and < 32, $"slates[{i}].number");
            Need(IsWithin(slate.StartSeconds, slate.LengthSeconds, sheet), $"slates[{i}].startSeconds");
            Need(AreChannels(slate.Tracks, sheet), $"slates[{i}].tracks");
        }
    }

    /// <summary>The field of a part that cannot be; null when all can.</summary>
    private static string? WhatIsWrong(BenchPart part, BenchSheet sheet)
    {
        var nyquistHz = sheet.SampleRateHz / 2.0;
        if (string.IsNullOrWhiteSpace(part.Name))
            return "name";
        if (!IsWithin(part.StartSeconds, part.LengthSeconds, sheet))
            return "startSeconds";
        if (!AreChannels(part.Channels, sheet))
            return "channels";
        if (!IsLevel(part.LevelDb))
            return "levelDb";
        return part.Kind switch
        {
            BenchPartKind.LevelTone or BenchPartKind.SpeedTone or BenchPartKind.Erasure => IsTone(part.FrequencyHz) ? null : "frequencyHz",
            BenchPartKind.Staircase when !IsTone(part.FrequencyHz) => "frequencyHz",
            BenchPartKind.Staircase => part.StepLevelsDb.Count is > 0 and <= MostSteps && part.StepLevelsDb.All(IsLevel)
                ? null
                : "stepLevelsDb",
            BenchPartKind.Sweep when !IsTone(part.FromHz) => "fromHz",
            BenchPartKind.Sweep when !(IsTone(part.ToHz) && part.ToHz > part.FromHz) => "toHz",
            // Its length follows from its frequencies, to a whole number of cycles.
            BenchPartKind.Sweep => Math.Abs(
                new SynchronisedSweep(part.FromHz!.Value, part.ToHz!.Value, part.LengthSeconds).DurationSeconds - part.LengthSeconds
            ) < 1e-6
                ? null
                : "lengthSeconds",
            BenchPartKind.Multitone when !(part.TonesHz.Count is > 0 and <= MostSteps && part.TonesHz.All(t => IsTone(t))) => "tonesHz",
            BenchPartKind.Multitone when !(part.PhasesRadians.Count == part.TonesHz.Count && part.PhasesRadians.All(double.IsFinite)) =>
                "phasesRadians",
            BenchPartKind.Multitone => part.ToneLevelDb is { } level && IsLevel(level) ? null : "toneLevelDb",
            _ => null,
        };

        bool IsTone(double? frequencyHz) => frequencyHz is { } f && f > 0 && f < nyquistHz;
    }

    private static bool IsLevel(double levelDb) => levelDb is >= -150 and <= 60;

    private static bool IsWithin(double startSeconds, double lengthSeconds, BenchSheet sheet) =>
        startSeconds >= 0 && lengthSeconds > 0 && startSeconds + lengthSeconds <= sheet.LengthSeconds + 1;

    private static bool AreChannels(IReadOnlyList<int> channels, BenchSheet sheet) =>
        channels.Count > 0 && channels.All(c => c >= 1 && c <= sheet.ChannelCount) && channels.Distinct().Count() == channels.Count;
}
