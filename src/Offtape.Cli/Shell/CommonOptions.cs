using System.CommandLine;

namespace Offtape.Cli.Shell;

/// <summary>What every verb understands.</summary>
internal sealed class CommonOptions
{
    public Option<bool> Help { get; } = Switch("--help", "say what the verb does, with an example", "-h", "-?");

    public Option<bool> Json { get; } = Switch("--json", "write the result as JSON to standard output, messages to standard error");

    public Option<bool> Quiet { get; } = Switch("--quiet", "say nothing but errors");

    public Option<bool> Force { get; } = Switch("--force", "replace files that exist");

    public Option<bool> Verbose { get; } = Switch("--verbose", "say more; show where the program failed when it does");

    public IEnumerable<Option> All => [Json, Quiet, Force, Verbose, Help];

    private static Option<bool> Switch(string name, string words, params string[] aliases) =>
        new(name, aliases)
        {
            Description = words,
            Recursive = true,
            Arity = ArgumentArity.Zero,
        };
}
