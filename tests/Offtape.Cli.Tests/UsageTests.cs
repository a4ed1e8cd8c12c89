using Offtape.Cli.Tests.Running;

namespace Offtape.Cli.Tests;

/// <summary>Wrong usage is exit 2 and one line that says what was meant to stand there.</summary>
public sealed class UsageTests
{
    [Theory]
    [InlineData("There is no verb \"sned\". Did you mean send?", "sned")]
    [InlineData("There is no verb \"polish\". See offtape --help.", "polish")]
    [InlineData("There is no option --polish. See offtape --help.", "--polish")]
    [InlineData("calc needs one of gap, time, speed, loop, echo, pitch, print, generations and cost. See offtape calc --help.", "calc")]
    [InlineData("calc has no verb \"gapp\". Did you mean gap?", "calc", "gapp")]
    [InlineData("send has no option --tape-sid. Did you mean --tape-side?", "send", "kit.wav", "--to", "pass", "--tape-sid", "A")]
    [InlineData("calc gap has no option --distence. Did you mean --distance?", "calc", "gap", "--distence", "3")]
    [InlineData("calc gap does not know what to do with \"x\". See offtape calc gap --help.", "calc", "gap", "x")]
    [InlineData("--distance wants MM after it. See offtape calc gap --help.", "calc", "gap", "--distance")]
    [InlineData("--distance wants a number in MM, not \"far\". See offtape calc gap --help.", "calc", "gap", "--distance", "far")]
    [InlineData(
        "--distance stands there more than once. See offtape calc gap --help.",
        "calc",
        "gap",
        "--distance",
        "1",
        "--distance",
        "2"
    )]
    [InlineData("--speed lies between 0.5 and 400, not 0.1. See offtape calc gap --help.", "calc", "gap", "--speed", "0.1")]
    [InlineData("loudness needs at least one FILE. See offtape loudness --help.", "loudness")]
    public void Wrong_usage_is_one_line_and_exit_2(string line, params string[] arguments)
    {
        var ran = Tool.Run(arguments);
        Assert.Equal("offtape: " + line, ran.OneErrorLine);
        Assert.Equal(2, ran.ExitCode);
    }

    [Theory]
    [InlineData("calc", "gap")]
    [InlineData("calc", "gap", "--speed", "19.05")]
    [InlineData("calc", "gap", "--speed", "19.05", "--distance", "30", "--delay", "10")]
    [InlineData("calc", "speed")]
    [InlineData("calc", "speed", "--cents", "3", "--ratio", "1")]
    [InlineData("calc", "speed", "--from", "19.05")]
    [InlineData("calc", "speed", "--length", "10")]
    [InlineData("calc", "speed", "--nominal", "3150")]
    public void Questions_without_one_answer_are_exit_2(params string[] arguments)
    {
        var ran = Tool.Run(arguments);
        Assert.StartsWith("offtape: ", ran.OneErrorLine, StringComparison.Ordinal);
        Assert.Equal(2, ran.ExitCode);
    }

    [Fact]
    public void Bare_offtape_says_in_five_lines_what_it_is_and_offers_the_demo()
    {
        var ran = Tool.Run();
        Assert.Equal(0, ran.ExitCode);
        Assert.Equal(5, ran.Output.TrimEnd('\n').Split('\n').Length);
        Assert.Contains("offtape demo", ran.Output, StringComparison.Ordinal);
        Assert.Equal("", ran.Error);
    }

    [Fact]
    public void The_version_is_the_builds_own()
    {
        var ran = Tool.Run("--version");
        Assert.Matches(@"^offtape \d+\.\d+\.\d+\n$", ran.Output);
        Assert.Equal(0, ran.ExitCode);
    }

    [Fact]
    public void A_result_that_cannot_be_written_is_exit_5()
    {
        var ran = Tool.RunThroughShell("\"$@\" >/dev/full", null, "calc", "gap", "--distance", "30");
        Assert.Contains("disk is full", ran.OneErrorLine, StringComparison.Ordinal);
        Assert.Equal(5, ran.ExitCode);
    }
}
