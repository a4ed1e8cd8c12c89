using System.CommandLine;
using System.Text;
using Offtape.Base;

namespace Offtape.Cli.Shell;

/// <summary>What <c>--help</c> prints: one sentence, how it is typed, what may stand there, one example.</summary>
internal static class HelpPage
{
    private const int TextWidth = 80;

    /// <summary>What bare <c>offtape</c> says.</summary>
    public static void WriteIntroduction(TextWriter output, IReadOnlyList<Verb> verbs)
    {
        output.WriteLine("Offtape prints sounds through tape machines and brings each one back exactly in time.");
        output.WriteLine("Play what `offtape send` makes to the machine, record what comes back,");
        output.WriteLine("and `offtape return` writes every sound of it at its place.");
        output.WriteLine($"Verbs: {string.Join(", ", verbs.Select(v => v.Command.Name))}; each has --help.");
        output.WriteLine("In a browser: offtape open. To see it work without a machine: offtape demo");
    }

    public static void Write(TextWriter output, Command command, Verb? verb, IReadOnlyList<Verb> verbs)
    {
        output.WriteLine(command.Description);
        output.WriteLine();
        output.WriteLine("  " + Usage(command));
        var parts = verb is null ? verbs : verb.Parts;
        if (parts.Count > 0)
            WriteList(output, "Verbs", parts.Select(p => (p.Command.Name, p.Command.Description ?? "")));
        if (command.Arguments.Count > 0)
            WriteList(output, "What stands there", command.Arguments.Select(a => (a.Name, a.Description ?? "")));
        var own = command.Options.Where(o => !o.Recursive).ToArray();
        if (own.Length > 0)
            WriteList(output, "Options", own.Select(o => (Typed(o), o.Description ?? "")));
        var shared = command.Options.Concat(command.Parents.OfType<Command>().SelectMany(Ancestors)).Where(o => o.Recursive);
        WriteList(output, "Always", shared.Select(o => (Typed(o), o.Description ?? "")));
        output.WriteLine();
        output.WriteLine("Example");
        output.WriteLine("  " + (verb?.Example ?? "offtape demo"));
    }

    /// <summary>How an option's value is called: the unit or the kind of thing that is wanted.</summary>
    public static string ValueName(Option option) => option.HelpName ?? option.Name.TrimStart('-').ToUpperInvariant();

    /// <summary>How an option is typed, with its value's name.</summary>
    public static string Typed(Option option) =>
        option.Arity.MaximumNumberOfValues == 0 ? option.Name : $"{option.Name} {ValueName(option)}";

    private static IEnumerable<Option> Ancestors(Command command) =>
        command.Options.Concat(command.Parents.OfType<Command>().SelectMany(Ancestors));

    private static string Usage(Command command)
    {
        var text = new StringBuilder(Verb.FullName(command));
        foreach (var argument in command.Arguments)
        {
            var many = argument.Arity.MaximumNumberOfValues > 1 ? "..." : "";
            text.Append(argument.Arity.MinimumNumberOfValues == 0 ? $" [{argument.Name}{many}]" : $" {argument.Name}{many}");
        }
        if (command.Subcommands.Count > 0)
            text.Append(" VERB");
        return text.Append(" [options]").ToString();
    }

    private static void WriteList(TextWriter output, string title, IEnumerable<(string Name, string Words)> rows)
    {
        var all = rows.ToArray();
        var width = Math.Min(28, all.Max(r => r.Name.Length));
        output.WriteLine();
        output.WriteLine(title);
        foreach (var (name, words) in all)
        {
            var lines = TextWrap.Lines(words, TextWidth - width - 4);
            output.WriteLine(
                name.Length <= width ? $"  {name.PadRight(width)}  {lines[0]}" : $"  {name}\n  {new string(' ', width)}  {lines[0]}"
            );
            foreach (var line in lines.Skip(1))
                output.WriteLine($"  {new string(' ', width)}  {line}");
        }
    }
}
