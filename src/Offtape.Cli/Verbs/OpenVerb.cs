using System.CommandLine;
using System.Diagnostics;
using Offtape.Base;
using Offtape.Cli.Shell;
using Offtape.Cli.Verbs.Demo;
using Offtape.Web;
using Offtape.Web.Folders;

namespace Offtape.Cli.Verbs;

/// <summary>Serves the app to a browser on this machine, until it is interrupted.</summary>
internal static class OpenVerb
{
    private const int HighestPort = 65_535;
    private const int LowestPort = 1024;

    public static Verb Create()
    {
        var studio = Quantities.Text(
            "--studio",
            "DIR",
            $"folder that holds the work; else {StudioChoice.Variable}, else the nearest parent with {StudioChoice.Mark}, else Offtape in your documents"
        );
        var port = Quantities.Whole(
            "--port",
            "N",
            $"port on this machine's own address; {WebOptions.UsualPort} unless told, or another where that is taken",
            LowestPort,
            HighestPort
        );
        var noBrowser = Quantities.Switch("--no-browser", "start no browser; print the address that lets one in, once");
        var command = new Command("open", "Opens the app in a browser: pass, return, and all that belongs to them.")
        {
            studio,
            port,
            noBrowser,
        };
        return new Verb(
            command,
            "offtape open --studio ~/Documents/Offtape",
            (parsed, desk, cancellation) =>
            {
                var options = new WebOptions
                {
                    StudioFolder = StudioChoice.Find(
                        parsed.GetValue(studio),
                        Environment.GetEnvironmentVariable(StudioChoice.Variable),
                        Environment.CurrentDirectory
                    ),
                    Port = parsed.GetValue(port),
                    Demo = new LanternQuayMaterial(),
                    OnError = desk.Verbose ? (words, error) => desk.Error.WriteLine(error is null ? words : $"{words}: {error}") : null,
                };
                return Serve(options, !parsed.GetValue(noBrowser), desk, cancellation).GetAwaiter().GetResult();
            }
        );
    }

    private static async Task<ExitCode> Serve(WebOptions options, bool withBrowser, Desk desk, CancellationToken cancellation)
    {
        await using var server = await WebServer.StartAsync(options, cancellation);
        if (withBrowser)
            OpenBrowser(server, desk);
        else
            // Asked for: whoever asks reads it here, or in a pipe.
            desk.Say(server.LaunchAddress);
        try
        {
            await Task.Delay(Timeout.Infinite, cancellation);
        }
        catch (OperationCanceledException)
        {
            // Ctrl-C is how this verb ends.
        }
        desk.Tell("Ending. What still runs is stopped; nothing half-made stays.");
        return ExitCode.Done;
    }

    private static void OpenBrowser(WebServer server, Desk desk)
    {
        var file = server.WriteLaunchFile();
        desk.Tell($"Offtape is open at {server.Address}; its work is in {server.StudioFolder}. Ctrl-C ends it.");
        try
        {
            // The file, not the address: every user of a machine can read a command line.
            using var browser = Process.Start(Starter(file));
        }
        catch (Exception error) when (error is System.ComponentModel.Win32Exception or InvalidOperationException)
        {
            desk.Tell($"No browser could be started. Open {file} with one.");
        }
    }

    private static ProcessStartInfo Starter(string file) =>
        OperatingSystem.IsWindows()
            ? new ProcessStartInfo(file) { UseShellExecute = true }
            : new ProcessStartInfo(OperatingSystem.IsMacOS() ? "open" : "xdg-open", [file])
            {
                UseShellExecute = false,
                RedirectStandardOutput = true,
                RedirectStandardError = true,
            };
}
