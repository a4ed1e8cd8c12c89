using System.CommandLine;
using Offtape.Cli.Shell;
using Offtape.Cli.Tests.Running;
using Offtape.Cli.Verbs;
using Offtape.Testing;

namespace Offtape.Cli.Tests;

/// <summary>Every verb explains itself, and its example is one that works.</summary>
public sealed class HelpTests
{
    private static readonly IReadOnlyList<Verb> Verbs = VerbTable.Create();
    private static readonly CommonOptions Common = new();
    private static readonly RootCommand Root = CommandLine.Root(Verbs, Common, out _);

    public static TheoryData<string> Names => [.. All(Verbs).Select(v => Verb.ShortName(v.Command))];

    [Theory, MemberData(nameof(Names))]
    public void Help_names_every_option_and_shows_the_example(string name)
    {
        var verb = All(Verbs).Single(v => Verb.ShortName(v.Command) == name);
        var help = HelpOf(verb);
        Assert.Contains($"Example\n  {verb.Example}\n", help, StringComparison.Ordinal);
        foreach (var option in verb.Command.Options.Concat(Common.All))
            Assert.Contains($"  {option.Name}", help, StringComparison.Ordinal);
        Assert.All(help.Split('\n'), l => Assert.True(l.Length <= 80, $"wider than 80: {l}"));
    }

    [Theory, MemberData(nameof(Names))]
    public void The_example_can_be_typed_as_it_stands(string name)
    {
        var verb = All(Verbs).Single(v => Verb.ShortName(v.Command) == name);
        var words = verb.Example.Split(' ');
        Assert.Equal("offtape", words[0]);
        var parsed = Root.Parse(words[1..]);
        Assert.Empty(parsed.Errors);
        Assert.NotNull(VerbTable.Find(Verbs, parsed.CommandResult.Command)!.Run);
    }

    [Theory, MemberData(nameof(Names))]
    public void Every_option_and_argument_is_described(string name)
    {
        var command = All(Verbs).Single(v => Verb.ShortName(v.Command) == name).Command;
        Assert.All(command.Options, o => Assert.False(string.IsNullOrWhiteSpace(o.Description), o.Name));
        Assert.All(command.Arguments, a => Assert.False(string.IsNullOrWhiteSpace(a.Description), a.Name));
    }

    [Theory, MemberData(nameof(Names))]
    public void The_page_of_commands_holds_what_help_says(string name)
    {
        var page = File.ReadAllText(Path.Combine(RepositoryRoot.Find(), "docs", "commands.md"));
        var help = HelpOf(All(Verbs).Single(v => Verb.ShortName(v.Command) == name));
        Assert.True(
            page.Contains($"# offtape {name}\n\n```\n{help}```\n", StringComparison.Ordinal),
            $"docs/commands.md is out of date for {name}: run bash tools/write-commands.sh"
        );
    }

    [Theory]
    [InlineData("--help", "send")]
    [InlineData("send", "--help")]
    [InlineData("send", "x.wav", "-h")]
    public void Help_is_given_wherever_it_is_asked_for(params string[] arguments)
    {
        var ran = Tool.Run(arguments);
        Assert.Equal((0, HelpOf(Verbs.Single(v => v.Command.Name == "send")), ""), (ran.ExitCode, ran.Output, ran.Error));
    }

    private static string HelpOf(Verb verb)
    {
        var help = new StringWriter { NewLine = "\n" };
        HelpPage.Write(help, verb.Command, verb, Verbs);
        return help.ToString();
    }

    internal static IEnumerable<Verb> All(IEnumerable<Verb> verbs) => verbs.SelectMany(v => All(v.Parts).Prepend(v));
}
