using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Passes.Listening;

namespace Offtape.Passes.Inputs;

/// <summary>Finds the files of a sheet's sources again: where the sheet says, beside it, among those named; else as they stand in its send.</summary>
internal static class SourceLocator
{
    internal static Recording Locate(PassSheet sheet, SheetItem item, string sheetPath, IReadOnlyList<string> named, List<Notice> notices)
    {
        var folder = Path.GetDirectoryName(Path.GetFullPath(sheetPath)) ?? ".";
        var places = new List<string>();
        places.AddRange(named.Where(n => string.Equals(Path.GetFileName(n), item.Source, StringComparison.OrdinalIgnoreCase)));
        places.AddRange(named.Where(Directory.Exists).Select(d => Path.Combine(d, item.Source)));
        if (item.SourcePath is { } recorded)
            places.Add(Path.Combine(folder, recorded));
        places.Add(Path.Combine(folder, item.Source));
        places.Add(Path.Combine(folder, "..", item.Source));
        var changed = false;
        foreach (var place in places)
        {
            if (!File.Exists(place))
                continue;
            var recording = Recording.Of(place);
            if (IsSame(recording, item))
                return recording;
            changed = true;
        }
        var send = Path.Combine(folder, PassSheet.SendFileName);
        if (File.Exists(send) && !sheet.Reversed && sheet.PrintRatio == 1)
        {
            notices.Add(
                new Notice(
                    "source-from-send",
                    changed
                        ? $"{item.Source} has changed since it was sent. Comparing with how it stands in the send."
                        : $"{item.Source} is not where it was. Comparing with how it stands in the send."
                )
            );
            return FromSend(send, item);
        }
        throw Fault.Input(
            item.Source,
            changed ? "it has changed since it was sent" : "it is neither where it was when it was sent nor beside the sheet",
            null,
            "Name the file, or its folder, with --source."
        );
    }

    private static bool IsSame(Recording recording, SheetItem item) =>
        recording.Format.ChannelCount == item.ChannelCount
        && recording.Format.SampleRateHz == item.SampleRateHz
        && recording.FrameCount == item.FrameCount;

    private static Recording FromSend(string send, SheetItem item)
    {
        var channels = item.ChannelCount == 1 ? [item.Tracks[0] - 1] : item.Tracks.Take(item.ChannelCount).Select(t => t - 1).ToArray();
        return new Recording(
            item.Source,
            () =>
            {
                var reader = AudioFile.Open(send);
                var rate = reader.Format.SampleRateHz;
                return new SliceReader(
                    reader.PickChannels(channels),
                    Conversions.SecondsToFrames(item.StartSeconds, rate),
                    Conversions.SecondsToFrames(item.SendLengthSeconds, rate),
                    Conversions.DbToAmplitude(-item.GainDb)
                );
            }
        );
    }
}
