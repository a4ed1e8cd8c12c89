using System.Diagnostics;
using System.Globalization;
using System.Net;

namespace Offtape.Perf.Web;

/// <summary>How long <c>offtape open</c> takes from its start to its first page, and from Ctrl-C to its end.</summary>
internal static class OpenMeasurement
{
    private const int Runs = 7;

    /// <param name="args">Path of offtape.dll, built in Release.</param>
    public static int Run(string[] args)
    {
        if (args.Length != 1 || OperatingSystem.IsWindows())
        {
            Console.Error.WriteLine("Name offtape.dll. Ctrl-C is sent as a signal, which Windows has not.");
            return 2;
        }
        Machine.Print();
        Console.WriteLine("\n| run | listens, s | first page, s | ends, s | exit |\n| --- | --- | --- | --- | --- |");
        for (var run = 1; run <= Runs; run++)
            Console.WriteLine(Once(args[0], run).GetAwaiter().GetResult());
        return 0;
    }

    private static async Task<string> Once(string command, int run)
    {
        var studio = Directory.CreateTempSubdirectory("offtape-open-").FullName;
        var clock = Stopwatch.StartNew();
        using var process = Process.Start(
            new ProcessStartInfo("dotnet", [command, "open", "--no-browser", "--quiet", "--studio", studio])
            {
                RedirectStandardOutput = true,
                UseShellExecute = false,
            }
        )!;
        var address = new Uri((await process.StandardOutput.ReadLineAsync())!);
        var listens = clock.Elapsed.TotalSeconds;
        using var browser = new HttpClient(new HttpClientHandler { CookieContainer = new CookieContainer() });
        await browser.GetStringAsync(address);
        var page = await browser.GetStringAsync(new Uri(address, "/"));
        var first = clock.Elapsed.TotalSeconds;
        if (!page.Contains("What now?", StringComparison.Ordinal))
            throw new InvalidOperationException("That was not the first page.");
        clock.Restart();
        using (var kill = Process.Start("kill", ["-INT", process.Id.ToString(CultureInfo.InvariantCulture)]))
            await process.WaitForExitAsync();
        var ends = clock.Elapsed.TotalSeconds;
        Directory.Delete(studio, recursive: true);
        return $"| {run} | {listens:F2} | {first:F2} | {ends:F2} | {process.ExitCode} |";
    }
}
