using Offtape.Cli.Tests.Running;

namespace Offtape.Cli.Tests;

/// <summary>The book of a machine from the command line.</summary>
public sealed class MachineCommandTests
{
    [Fact]
    public void A_machine_is_added_lined_up_looked_after_and_shown()
    {
        using var folder = new TemporaryFolder();
        var added = Run(
            folder,
            "machine add deck --kind reel --monitoring off-tape --speeds 7.5ips,38.1 --gap-mm 38.1 --hours 40 --studio . --json"
        );
        Assert.Equal("19.05,38.1", added.Json.GetProperty("machine").GetProperty("speedsCmPerSecond").GetString());
        Assert.Equal(0, Run(folder, "machine line-up deck --send-zero -12 --return-zero -14.5 --trim 2.5 --date 2026-01-02").ExitCode);
        var lineUp = Run(folder, "machine line-up deck --json").Json[0];
        Assert.Equal(-14.5, lineUp.GetProperty("returnDbfsAtZero").GetDouble());
        Assert.Equal(42.5, Run(folder, "machine hours deck --add 2.5 --json").Json.GetProperty("total").GetDouble());
        var upkeep = Run(folder, "machine upkeep deck");
        Assert.Contains("common practice, no source", upkeep.Output, StringComparison.Ordinal);
        Assert.Contains("pacemaker", upkeep.Output, StringComparison.Ordinal);
        Assert.Equal(0, Run(folder, "machine upkeep deck --did demagnetise").ExitCode);
        Assert.DoesNotContain("pacemaker", Run(folder, "machine upkeep deck").Output, StringComparison.Ordinal);
        var shown = Run(folder, "machine show deck");
        Assert.Contains("42.5 h", shown.Output, StringComparison.Ordinal);
        Assert.Contains("2026-01-02", shown.Output, StringComparison.Ordinal);
        Assert.Single(Run(folder, "machine list --json").Json.EnumerateArray());
    }

    [Fact]
    public void A_format_has_one_spelling_whichever_word_it_was_typed_with()
    {
        using var folder = new TemporaryFolder();
        var typed = Run(folder, "machine add reel --format half-nab --studio . --json").Json;
        Assert.Equal("two-track", typed.GetProperty("machine").GetProperty("trackFormat").GetString());
        Assert.Equal(
            "two-track",
            Run(folder, "tape add LQ-1 --length 1200ft --format half-nab --json").Json.GetProperty("format").GetString()
        );
    }

    [Theory]
    [InlineData("machine show other", 3, "has no machine \"other\"")]
    [InlineData("machine add deck --speeds fast", 2, "--speeds takes")]
    [InlineData("machine add deck --format sideways", 2, "--format is one of")]
    [InlineData("machine upkeep deck --did wishful-thinking", 2, "--did is one of")]
    [InlineData("machine hours deck --date yesterday", 2, "--date is a day")]
    [InlineData("log list --from soon", 2, "--from is a day")]
    [InlineData("log show none", 3, "has no pass")]
    [InlineData("log export", 2, "needs --to")]
    public void What_is_wrong_is_one_line(string line, int exitCode, string words)
    {
        using var folder = new TemporaryFolder();
        Run(folder, "machine add deck --studio .");
        var ran = Run(folder, line);
        Assert.Equal(exitCode, ran.ExitCode);
        Assert.Contains(words, ran.OneErrorLine, StringComparison.Ordinal);
    }

    [Fact]
    public void Where_there_is_no_studio_it_says_how_to_begin()
    {
        using var folder = new TemporaryFolder();
        Assert.Contains("machine add", Run(folder, "machine list --studio .").OneErrorLine, StringComparison.Ordinal);
        Assert.Empty(folder.Files);
    }

    private static Ran Run(TemporaryFolder folder, string line) => Tool.RunIn(folder.Path, line.Split(' '));
}
