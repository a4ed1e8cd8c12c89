using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Passes;

/// <summary>Sounds as one names them: files, and folders that stand for the audio files in them.</summary>
public static class SoundFolders
{
    /// <summary>The files themselves, those of a folder in order of name.</summary>
    /// <param name="named">Files and folders; a name that is no folder is given back as it is.</param>
    /// <param name="isLeftOut">Files of a folder that are not meant by naming it; null: all are.</param>
    /// <exception cref="Fault">Input: a folder holds no such file, or cannot be read.</exception>
    public static IReadOnlyList<string> Files(IEnumerable<string> named, Func<string, bool>? isLeftOut = null)
    {
        var files = new List<string>();
        foreach (var name in named)
        {
            if (!Directory.Exists(name))
            {
                files.Add(name);
                continue;
            }
            var inside = In(name).Where(f => isLeftOut?.Invoke(f) is not true).ToArray();
            if (inside.Length == 0)
                throw Fault.Input(name, "this folder holds no audio files", null, "Name another folder, or the files themselves.");
            files.AddRange(inside);
        }
        return files;
    }

    /// <summary>Whether a file is what <c>send</c> wrote: called so, with the sheet of a pass beside it. It is no source and no capture.</summary>
    public static bool IsSend(string path) =>
        Path.GetFileName(path) == PassSheet.SendFileName
        && File.Exists(Path.Combine(Path.GetDirectoryName(path) ?? "", PassSheet.FileName));

    /// <summary>The audio files of a folder, in order of name.</summary>
    /// <exception cref="Fault">Input: the folder cannot be read.</exception>
    internal static IReadOnlyList<string> In(string folder)
    {
        try
        {
            return
            [
                .. Directory
                    .GetFiles(folder)
                    .Where(AudioFile.IsAudioName)
                    .OrderBy(f => Path.GetFileName(f), StringComparer.OrdinalIgnoreCase)
                    .ThenBy(f => f, StringComparer.Ordinal),
            ];
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromInputError(folder, error);
        }
    }
}
