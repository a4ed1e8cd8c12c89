using System.CommandLine;
using Offtape.Base;

namespace Offtape.Cli.Shell;

/// <summary>One thing the command can do: how it is called, one example of it, and the work itself.</summary>
/// <param name="Command">Name, words, arguments and options.</param>
/// <param name="Example">One call that a reader could type, shown by <c>--help</c>.</param>
/// <param name="Run">The work; null for a group that only holds other verbs.</param>
internal sealed record Verb(Command Command, string Example, Func<ParseResult, Desk, CancellationToken, ExitCode>? Run)
{
    public IReadOnlyList<Verb> Parts { get; init; } = [];

    /// <summary>A verb that only gathers others: <c>calc</c> holds <c>gap</c>, <c>time</c> and <c>speed</c>.</summary>
    public static Verb Group(string name, string words, string example, params IReadOnlyList<Verb> parts)
    {
        var command = new Command(name, words);
        foreach (var part in parts)
            command.Subcommands.Add(part.Command);
        return new Verb(command, example, null) { Parts = parts };
    }

    /// <summary>How the verb is typed in full: <c>offtape calc gap</c>.</summary>
    public static string FullName(Command command) =>
        command.Parents.OfType<Command>().FirstOrDefault() is { } parent ? $"{FullName(parent)} {command.Name}" : "offtape";

    /// <summary>The same without the program's own name: <c>calc gap</c>; the program's name for the program itself.</summary>
    public static string ShortName(Command command) => FullName(command) is var full && full.Length > 8 ? full[8..] : full;
}
