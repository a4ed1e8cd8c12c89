using System.CommandLine;
using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Cli.Shell;

/// <summary>Arguments that are audio files. A folder stands for the audio files in it, in order of name.</summary>
internal static class SoundArguments
{
    public static Argument<string[]> Many(string name, string words) => new(name) { Description = words, Arity = ArgumentArity.OneOrMore };

    /// <exception cref="Fault">A folder holds no audio, or cannot be read.</exception>
    public static IReadOnlyList<string> Expand(string[] named)
    {
        var files = new List<string>();
        foreach (var name in named)
        {
            if (!Directory.Exists(name))
            {
                files.Add(name);
                continue;
            }
            var inside = Listed(name).Where(AudioFile.IsAudioName).Order(StringComparer.OrdinalIgnoreCase).ToArray();
            if (inside.Length == 0)
                throw Fault.Input(name, "the folder holds no audio files", null, "Name another folder, or the files themselves.");
            files.AddRange(inside);
        }
        return files;
    }

    private static string[] Listed(string folder)
    {
        try
        {
            return Directory.GetFiles(folder);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromInputError(folder, error);
        }
    }
}
