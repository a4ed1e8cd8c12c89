using System.CommandLine;
using System.Reflection;
using System.Runtime.InteropServices;
using System.Text;
using Offtape.Base;
using Offtape.Cli.Verbs;

namespace Offtape.Cli.Shell;

/// <summary>
/// From the words typed to an exit code. Everything that can go wrong ends here as one line on standard error: wrong usage (2), a fault
/// that carries its own code (3 to 5), an interruption (130), anything else (1, with the stack under <c>--verbose</c>).
/// </summary>
internal static class CommandLine
{
    public static string Version =>
        typeof(CommandLine).Assembly.GetCustomAttribute<AssemblyInformationalVersionAttribute>()?.InformationalVersion.Split('+')[0] ?? "0";

    public static ExitCode Run(string[] args)
    {
        if (OperatingSystem.IsWindows())
            Console.OutputEncoding = Encoding.UTF8;
        var common = new CommonOptions();
        var verbs = VerbTable.Create();
        var root = Root(verbs, common, out var version);
        // A file may be named "@kick.wav": no response files.
        var parsed = root.Parse(args, new ParserConfiguration { ResponseFileTokenReplacer = null });
        var desk = Desk.ForConsole(
            parsed.GetValue(common.Json),
            parsed.GetValue(common.Quiet),
            parsed.GetValue(common.Force),
            parsed.GetValue(common.Verbose)
        );

        using var interruption = new CancellationTokenSource();
        using var onInterrupt = Listen(PosixSignal.SIGINT, interruption);
        using var onTerminate = Listen(PosixSignal.SIGTERM, interruption);
        return Guard(
            desk,
            () =>
            {
                var exit = Dispatch(parsed, verbs, common, version, desk, interruption.Token);
                desk.Flush();
                return exit;
            },
            interruption.Token
        );
    }

    /// <summary>Does the work, and turns whatever goes wrong in it into one line and an exit code.</summary>
    internal static ExitCode Guard(Desk desk, Func<ExitCode> work, CancellationToken interruption)
    {
        try
        {
            return work();
        }
        catch (Exception error) when (Fault.Among(error) is { } fault)
        {
            desk.Fail(fault.Message, fault);
            return fault.ExitCode;
        }
        catch (OperationCanceledException) when (interruption.IsCancellationRequested)
        {
            desk.Fail("Stopped. Nothing half-written was left behind.", null);
            return ExitCode.Interrupted;
        }
        catch (Exception error)
        {
            desk.Fail($"Something went wrong inside Offtape: {OneLine(error)}. Run again with --verbose to see where.", error);
            return ExitCode.Unexpected;
        }
    }

    /// <summary>The whole tree of verbs, for help and for the check that every option is documented.</summary>
    internal static RootCommand Root(IReadOnlyList<Verb> verbs, CommonOptions common, out Option<bool> version)
    {
        version = new Option<bool>("--version") { Description = "say which version this is", Arity = ArgumentArity.Zero };
        var root = new RootCommand("Prints sound through tape machines and brings it back in time.");
        root.Options.Clear();
        root.Directives.Clear();
        root.Options.Add(version);
        foreach (var option in common.All)
            root.Options.Add(option);
        foreach (var verb in verbs)
            root.Subcommands.Add(verb.Command);
        return root;
    }

    private static ExitCode Dispatch(
        ParseResult parsed,
        IReadOnlyList<Verb> verbs,
        CommonOptions common,
        Option<bool> version,
        Desk desk,
        CancellationToken cancellation
    )
    {
        var command = parsed.CommandResult.Command;
        var verb = VerbTable.Find(verbs, command);
        if (parsed.GetValue(common.Help))
        {
            HelpPage.Write(desk.Out, command, verb, verbs);
            return ExitCode.Done;
        }
        if (UsageErrors.First(parsed, verbs) is { } fault)
            throw fault;
        if (parsed.GetValue(version))
        {
            desk.Out.WriteLine($"offtape {Version}");
            return ExitCode.Done;
        }
        if (verb is null)
        {
            HelpPage.WriteIntroduction(desk.Out, verbs);
            return ExitCode.Done;
        }
        if (verb.Run is null)
            throw Fault.Usage(
                $"{Verb.ShortName(command)} needs one of {Words.List([.. verb.Parts.Select(p => p.Command.Name)])}",
                $"See {Verb.FullName(command)} --help."
            );
        return verb.Run(parsed, desk, cancellation);
    }

    // The first Ctrl-C asks the work to stop and clean up after itself; the second is left to the system, which ends the process.
    private static PosixSignalRegistration Listen(PosixSignal signal, CancellationTokenSource interruption) =>
        PosixSignalRegistration.Create(
            signal,
            context =>
            {
                context.Cancel = !interruption.IsCancellationRequested;
                interruption.Cancel();
            }
        );

    private static string OneLine(Exception error) => $"{error.Message.Split('\n', '\r')[0].TrimEnd('.')} ({error.GetType().Name})";
}
