using System.CommandLine;
using System.CommandLine.Parsing;
using Offtape.Base;
using Offtape.Cli.Verbs;

namespace Offtape.Cli.Shell;

/// <summary>Turns what the parser could not make sense of into one line that says what was meant to stand there.</summary>
internal static class UsageErrors
{
    public static Fault? First(ParseResult parsed, IReadOnlyList<Verb> verbs)
    {
        var command = parsed.CommandResult.Command;
        var name = Verb.ShortName(command);
        var hint = $"See {Verb.FullName(command)} --help.";
        if (parsed.UnmatchedTokens.Count > 0)
        {
            var token = parsed.UnmatchedTokens[0];
            if (token.StartsWith('-') && token.Length > 1)
                return NoOption(token);
            if (command.Subcommands.Count > 0)
                return Fault.Usage(
                    $"{(name is "offtape" ? "There is" : name + " has")} no verb \"{token}\"",
                    Suggest(token, command.Subcommands.Select(c => c.Name)) ?? hint
                );
            return Fault.Usage($"{name} does not know what to do with \"{token}\"", hint);
        }
        if (TakenForAnArgument(parsed) is { } mistyped)
            return NoOption(mistyped);
        foreach (var error in parsed.Errors)
        {
            switch (error.SymbolResult)
            {
                case OptionResult { Implicit: false, Tokens.Count: 0 } option when option.Option.Arity.MinimumNumberOfValues > 0:
                    return Fault.Usage($"{option.Option.Name} wants {HelpPage.ValueName(option.Option)} after it", hint);
                case OptionResult { IdentifierTokenCount: > 1 } option when option.Option.Arity.MaximumNumberOfValues == 1:
                    return Fault.Usage($"{option.Option.Name} stands there more than once", hint);
                case ArgumentResult { Tokens.Count: 0 } argument:
                    return Fault.Usage($"{name} needs at least one {argument.Argument.Name}", hint);
                case CommandResult when command.Subcommands.Count > 0 && VerbTable.Find(verbs, command)?.Run is null:
                    // A group, or the bare command, without a verb: the caller answers that.
                    continue;
                default:
                    return Fault.Usage(error.Message.TrimEnd('.'), hint);
            }
        }
        return null;

        Fault NoOption(string token) =>
            Fault.Usage(
                $"{(name is "offtape" ? "There is" : name + " has")} no option {token}",
                Suggest(token, OptionNames(command)) ?? hint
            );
    }

    /// <summary>
    /// A mistyped option that an argument of any number took for one of its values; null for none. A file of such a name is given after <c>--</c>,
    /// or as <c>./--name</c>.
    /// </summary>
    private static string? TakenForAnArgument(ParseResult parsed) =>
        parsed.Tokens.Any(t => t.Type == TokenType.DoubleDash)
            ? null
            : parsed
                .CommandResult.Children.OfType<ArgumentResult>()
                .SelectMany(a => a.Tokens)
                .Select(t => t.Value)
                .FirstOrDefault(v => v.Length > 2 && v.StartsWith("--", StringComparison.Ordinal));

    private static IEnumerable<string> OptionNames(Command command) =>
        command.Options.Concat(command.Parents.OfType<Command>().SelectMany(p => p.Options.Where(o => o.Recursive))).Select(o => o.Name);

    private static string? Suggest(string typed, IEnumerable<string> known)
    {
        var nearest = known.Select(k => (Name: k, Distance: EditDistance(typed, k))).OrderBy(k => k.Distance).FirstOrDefault();
        return nearest.Name is not null && nearest.Distance <= (typed.Length < 4 ? 1 : 2) ? $"Did you mean {nearest.Name}?" : null;
    }

    // Levenshtein's distance, one row at a time.
    private static int EditDistance(string a, string b)
    {
        var row = Enumerable.Range(0, b.Length + 1).ToArray();
        for (var i = 1; i <= a.Length; i++)
        {
            var diagonal = row[0];
            row[0] = i;
            for (var j = 1; j <= b.Length; j++)
            {
                var above = row[j];
                row[j] = Math.Min(Math.Min(row[j], row[j - 1]) + 1, diagonal + (a[i - 1] == b[j - 1] ? 0 : 1));
                diagonal = above;
            }
        }
        return row[b.Length];
    }
}
