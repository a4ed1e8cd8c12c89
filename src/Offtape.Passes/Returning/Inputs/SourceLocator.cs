using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Passes.Listening;

namespace Offtape.Passes.Inputs;

/// <summary>
/// Finds the files of a sheet's sources again: by name where the sheet says, beside it or among those named; by content where they were
/// renamed or moved; else as they stand in the sheet's send.
/// </summary>
internal sealed class SourceLocator(PassSheet sheet, string sheetPath, IReadOnlyList<string> named, CancellationToken cancellation)
{
    private readonly string _folder = Path.GetDirectoryName(Path.GetFullPath(sheetPath)) ?? ".";

    // Each file is opened and read once, however many sources are looked for.
    private readonly Dictionary<string, Recording?> _opened = [];
    private readonly Dictionary<string, string> _digests = [];

    internal Recording Locate(SheetItem item, List<Notice> notices)
    {
        var places = Places(item).Where(File.Exists).Distinct().ToArray();
        if (places.FirstOrDefault(p => IsSameFile(p, item)) is { } same)
            return _opened[same]!;
        if (Around().FirstOrDefault(f => IsSameFile(f, item)) is { } moved)
        {
            notices.Add(
                new Notice("source-moved", $"{item.Source} is not where it was; {InWords(moved)} has the same content and is used.")
            );
            return _opened[moved]!;
        }
        if (places.Select(p => Open(p, mustBeSound: true)!).FirstOrDefault(r => IsAlike(r, item)) is { } alike)
        {
            notices.Add(
                new Notice(
                    "source-changed",
                    $"{item.Source} was written anew after it was sent; it has the same length, and is used as it is."
                )
            );
            return alike;
        }
        return FromSend(item, places.Length > 0, notices);
    }

    private IEnumerable<string> Places(SheetItem item)
    {
        foreach (var name in named)
        {
            if (Directory.Exists(name))
                yield return Path.Combine(name, item.Source);
            else if (string.Equals(Path.GetFileName(name), item.Source, StringComparison.OrdinalIgnoreCase))
                yield return name;
        }
        if (item.SourcePath is { } recorded)
            yield return Path.Combine(_folder, recorded);
        yield return Path.Combine(_folder, item.Source);
        yield return Path.Combine(_folder, "..", item.Source);
    }

    // Where a renamed file may be: among those named, beside the sheet, one folder up, and where sources of this sheet were.
    private IEnumerable<string> Around()
    {
        var folders = named
            .Where(Directory.Exists)
            .Append(_folder)
            .Append(Path.Combine(_folder, ".."))
            .Concat(sheet.Items.Select(i => i.SourcePath).OfType<string>().Select(p => Path.GetDirectoryName(Path.Combine(_folder, p))!))
            .Select(Path.GetFullPath)
            .Distinct()
            .Where(Directory.Exists);
        return named.Where(File.Exists).Concat(folders.SelectMany(SoundFolders.In)).Where(f => !SoundFolders.IsSend(f));
    }

    private string InWords(string path)
    {
        var name = Path.GetFileName(path);
        return named.Contains(path) ? name
            : Path.GetDirectoryName(path) == _folder ? $"{name} beside the sheet"
            : path;
    }

    private bool IsSameFile(string path, SheetItem item)
    {
        // The digest costs reading the whole file: only of what has the shape already.
        if (Open(path, mustBeSound: false) is not { } recording || !IsAlike(recording, item))
            return false;
        if (!_digests.TryGetValue(path, out var digest))
            _digests[path] = digest = FileDigest.Of(path, null, cancellation);
        return string.Equals(digest, item.Sha256, StringComparison.OrdinalIgnoreCase);
    }

    private Recording? Open(string path, bool mustBeSound)
    {
        if (_opened.TryGetValue(path, out var known) && (known is not null || !mustBeSound))
            return known;
        try
        {
            return _opened[path] = Recording.Of(path);
        }
        catch (Fault fault) when (!mustBeSound && fault.ExitCode == ExitCode.InputUnreadable)
        {
            return _opened[path] = null;
        }
    }

    private static bool IsAlike(Recording recording, SheetItem item) =>
        recording.Format.ChannelCount == item.ChannelCount
        && recording.Format.SampleRateHz == item.SampleRateHz
        && recording.FrameCount == item.FrameCount;

    private Recording FromSend(SheetItem item, bool changed, List<Notice> notices)
    {
        var send = Path.Combine(_folder, PassSheet.SendFileName);
        if (!File.Exists(send) || sheet.Reversed || sheet.PrintRatio != 1)
            throw Fault.Input(
                item.Source,
                changed ? "it has changed since it was sent" : "it is neither where it was when it was sent nor beside the sheet",
                null,
                "Name the file, or its folder, with --source."
            );
        notices.Add(
            new Notice(
                "source-from-send",
                changed
                    ? $"{item.Source} has changed since it was sent. Comparing with how it stands in the send."
                    : $"{item.Source} is not where it was. Comparing with how it stands in the send."
            )
        );
        return Slice(send, item);
    }

    private static Recording Slice(string send, SheetItem item)
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
