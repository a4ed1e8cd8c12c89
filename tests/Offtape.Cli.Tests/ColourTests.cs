using Offtape.Cli.Shell;
using Offtape.Cli.Tests.Running;

namespace Offtape.Cli.Tests;

/// <summary>Colour is for terminals, and not where <c>NO_COLOR</c> stands (no-color.org).</summary>
public sealed class ColourTests
{
    // A pseudo-terminal, as script(1) of Debian's essential package bsdutils makes one. The sequences that set colours end in "m".
    private const string OnATerminal = "script -qec \"$(printf '\"%s\" ' \"$@\")\" /dev/null";

    [Fact]
    public void There_is_no_colour_in_a_file_or_a_pipe()
    {
        Assert.DoesNotContain('\e', Tool.Run("calc", "gap", "--distance", "30").Output);
        Assert.DoesNotContain('\e', Tool.Run("nonsense").Error);
    }

    [Fact]
    public void There_is_colour_on_a_terminal() =>
        Assert.Matches("\e\\[[0-9]+m", Tool.RunThroughShell(OnATerminal, null, "calc", "gap", "--distance", "30").Output);

    [Theory]
    [InlineData("NO_COLOR=1")]
    [InlineData("NO_COLOR=yes")]
    [InlineData("TERM=dumb")]
    public void There_is_none_on_a_terminal_that_asks_for_none(string setting) =>
        Assert.DoesNotMatch(
            "\e\\[[0-9]+m",
            Tool.RunThroughShell($"export {setting}; {OnATerminal}", null, "calc", "gap", "--distance", "30").Output
        );

    [Fact]
    public void Without_colour_the_words_are_the_same()
    {
        Assert.Equal("note:", new Ink(false).Warn("note:"));
        Assert.Equal("\e[33mnote:\e[0m", new Ink(true).Warn("note:"));
    }
}
