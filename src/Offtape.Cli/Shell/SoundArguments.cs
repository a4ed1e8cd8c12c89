using System.CommandLine;

namespace Offtape.Cli.Shell;

/// <summary>Arguments that are audio files, or folders that stand for the audio files in them.</summary>
internal static class SoundArguments
{
    public static Argument<string[]> Many(string name, string words) => new(name) { Description = words, Arity = ArgumentArity.OneOrMore };
}
