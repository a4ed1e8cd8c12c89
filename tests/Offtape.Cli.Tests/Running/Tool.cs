using System.Diagnostics;
using System.Runtime.InteropServices;
using System.Text.Json;

namespace Offtape.Cli.Tests.Running;

/// <summary>What a finished run of the command left: its exit code and what it said.</summary>
internal sealed record Ran(int ExitCode, string Output, string Error)
{
    public JsonElement Json => JsonDocument.Parse(Output).RootElement;

    public string[] ErrorLines => Error.Split('\n', StringSplitOptions.RemoveEmptyEntries);

    /// <summary>The one line of a failure; fails when there is more, or anything on standard output.</summary>
    public string OneErrorLine
    {
        get
        {
            Assert.Equal("", Output);
            return Assert.Single(ErrorLines);
        }
    }
}

/// <summary>Runs the built <c>offtape</c> as a child process, as a user does.</summary>
internal static partial class Tool
{
    public static readonly TimeSpan Patience = TimeSpan.FromMinutes(10);

    /// <summary>The built program, beside the tests.</summary>
    public static string Program { get; } = Path.Combine(AppContext.BaseDirectory, "offtape.dll");

    public static string Dotnet { get; } = Environment.GetEnvironmentVariable("DOTNET_HOST_PATH") ?? "dotnet";

    public static Ran Run(params string[] arguments) => RunIn(null, arguments);

    public static Ran RunIn(string? folder, params string[] arguments) => Finish(Start(Dotnet, folder, [Program, .. arguments]));

    /// <summary>Runs it from a shell line; <c>"$@"</c> in the line stands for the command.</summary>
    public static Ran RunThroughShell(string line, string? folder, params string[] arguments) =>
        Finish(Start("/bin/sh", folder, ["-c", line, "sh", Dotnet, Program, .. arguments]));

    public static Process StartIn(string? folder, params string[] arguments) => Start(Dotnet, folder, [Program, .. arguments]);

    /// <summary>Waits for the end and gives what was said; ends a process that does not end by itself, and says so.</summary>
    public static Ran Finish(Process process)
    {
        using (process)
        {
            var output = process.StandardOutput.ReadToEndAsync();
            var error = process.StandardError.ReadToEndAsync();
            if (!process.WaitForExit(Patience))
            {
                process.Kill(entireProcessTree: true);
                throw new TimeoutException($"The command did not end within {Patience}: {process.StartInfo.ArgumentList.Last()}");
            }
            return new Ran(process.ExitCode, output.GetAwaiter().GetResult(), error.GetAwaiter().GetResult());
        }
    }

    /// <summary>Waits until the command is at its work, however slow the machine: it has used so much of a processor.</summary>
    public static void WaitUntilAtWork(Process process, double processorSeconds = 1)
    {
        while (true)
        {
            Assert.False(process.HasExited, "it ended before it could be interrupted");
            process.Refresh();
            if (process.TotalProcessorTime.TotalSeconds >= processorSeconds)
                return;
            Thread.Sleep(20);
        }
    }

    /// <summary>What Ctrl-C on a terminal sends.</summary>
    public static void Interrupt(Process process)
    {
        const int sigint = 2;
        Assert.Equal(0, Kill(process.Id, sigint));
    }

    private static Process Start(string file, string? folder, IEnumerable<string> arguments)
    {
        var start = new ProcessStartInfo(file, arguments)
        {
            UseShellExecute = false,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            WorkingDirectory = folder ?? Path.GetTempPath(),
        };
        start.Environment.Remove("NO_COLOR");
        start.Environment["TERM"] = "xterm";
        return Process.Start(start)!;
    }

    [LibraryImport("libc", EntryPoint = "kill")]
    private static partial int Kill(int processId, int signal);
}
