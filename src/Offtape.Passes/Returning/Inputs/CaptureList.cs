using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Passes.Listening;

namespace Offtape.Passes.Inputs;

/// <summary>The captures that a return is given: files as they are, folders for the audio in them, mono files of one recording together.</summary>
internal static class CaptureList
{
    internal static List<Recording> Open(ReturnRequest request, List<Notice> notices)
    {
        var recordings = new List<Recording>();
        if (request.With.Count > 0)
        {
            if (request.Captures.Count != 1 || Directory.Exists(request.Captures[0]))
                throw Fault.Usage(
                    "--with adds files to one capture",
                    "Name one capture file, and the others of the same recording after --with."
                );
            var together = new List<string> { request.Captures[0] };
            together.AddRange(request.With);
            recordings.Add(new Recording(request.Captures[0], () => Picked(AudioFile.OpenTogether(together), request)));
            return recordings;
        }
        foreach (var named in request.Captures)
        {
            if (!Directory.Exists(named))
            {
                recordings.Add(OpenOne(named, request));
                continue;
            }
            foreach (var file in SoundFolders.Files([named], SoundFolders.IsSend))
            {
                // One bad file among many does not stop the others; named by itself it would.
                try
                {
                    recordings.Add(OpenOne(file, request));
                }
                catch (Fault fault) when (fault.ExitCode == ExitCode.InputUnreadable)
                {
                    notices.Add(new Notice(WarningCode.DamagedFile, fault.Message));
                }
            }
        }
        return recordings;
    }

    private static Recording OpenOne(string path, ReturnRequest request) => new(path, () => Picked(AudioFile.Open(path), request));

    private static IAudioReader Picked(IAudioReader reader, ReturnRequest request)
    {
        if (request.Channels.Count == 0)
            return reader;
        var highest = request.Channels.Max();
        if (highest > reader.Format.ChannelCount)
        {
            var count = reader.Format.ChannelCount;
            reader.Dispose();
            throw Fault.Usage(
                $"--channels asks for channel {highest}, and {Path.GetFileName(reader.Path)} has {Words.Count(count, "channel")}"
            );
        }
        return reader.PickChannels([.. request.Channels.Select(c => c - 1)]);
    }
}
