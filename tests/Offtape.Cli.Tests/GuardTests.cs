using Offtape.Base;
using Offtape.Cli.Shell;

namespace Offtape.Cli.Tests;

/// <summary>Whatever goes wrong ends as one line and its exit code.</summary>
public sealed class GuardTests
{
    [Fact]
    public void An_unexpected_fault_is_one_line_and_exit_1()
    {
        var (exit, output, error) = Run(verbose: false, () => throw new InvalidDataException("first line\nsecond line"));
        Assert.Equal(ExitCode.Unexpected, exit);
        Assert.Equal("", output);
        Assert.Equal(
            "offtape: Something went wrong inside Offtape: first line (InvalidDataException). Run again with --verbose to see where.\n",
            error
        );
    }

    [Fact]
    public void Verbose_shows_where() =>
        Assert.Contains(
            $"at {typeof(GuardTests).FullName}",
            Run(verbose: true, () => throw new InvalidDataException("x")).Error,
            StringComparison.Ordinal
        );

    [Fact]
    public void A_fault_brings_its_own_exit_code_and_words()
    {
        var (exit, _, error) = Run(verbose: false, () => throw Fault.Incomplete("The side is too short", "Use a longer tape."));
        Assert.Equal(ExitCode.Incomplete, exit);
        Assert.Equal("offtape: The side is too short. Use a longer tape.\n", error);
    }

    [Fact]
    public void A_fault_of_several_threads_is_the_fault_itself()
    {
        var (exit, _, error) = Run(
            verbose: false,
            () => throw new AggregateException(Fault.Output("a.wav", "the disk is full"), Fault.Output("b.wav", "the disk is full"))
        );
        Assert.Equal((ExitCode.OutputUnwritable, "offtape: Cannot write \"a.wav\": the disk is full.\n"), (exit, error));
    }

    [Fact]
    public void A_cancellation_that_nobody_asked_for_is_a_fault_and_no_interruption()
    {
        var (exit, _, _) = Run(verbose: false, () => throw new OperationCanceledException());
        Assert.Equal(ExitCode.Unexpected, exit);
    }

    private static (ExitCode Exit, string Output, string Error) Run(bool verbose, Func<ExitCode> work)
    {
        var (output, error) = (new StringWriter { NewLine = "\n" }, new StringWriter { NewLine = "\n" });
        var plain = new Ink(false);
        var desk = new Desk(output, error, false, false, false, verbose, plain, plain, false);
        return (CommandLine.Guard(desk, work, CancellationToken.None), output.ToString(), error.ToString());
    }
}
