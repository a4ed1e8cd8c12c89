using System.Diagnostics;

namespace Offtape.Web.Tests.Browser;

/// <summary>The program itself, as a process of its own that can be killed.</summary>
internal sealed class Program : IAsyncDisposable
{
    private readonly Process _process;

    private Program(Process process, string address) => (_process, LaunchAddress) = (process, address);

    /// <summary>Lets a browser in, once.</summary>
    public string LaunchAddress { get; }

    /// <param name="studio">The studio folder.</param>
    /// <param name="port">Where it listens.</param>
    /// <param name="mostFileKilobytes">
    /// No file it writes may become longer: the write that goes beyond fails as on a full disk (EFBIG where that has ENOSPC). Null: no limit.
    /// </param>
    public static async Task<Program> Start(string studio, int port, int? mostFileKilobytes = null)
    {
        string[] command = ["dotnet", Path.Combine(AppContext.BaseDirectory, "offtape.dll"), "open", "--no-browser"];
        string[] arguments = [.. command, "--studio", studio, "--port", $"{port}"];
        // The signal that would end the program at the limit is put off, so that its write fails instead.
        if (mostFileKilobytes is { } most)
            arguments = ["bash", "-c", $"trap '' XFSZ; ulimit -f {most}; exec \"$@\"", "bash", .. arguments];
        var start = new ProcessStartInfo(arguments[0], arguments[1..]) { RedirectStandardOutput = true, UseShellExecute = false };
        // The runtime maps its code through a file far larger than any such limit.
        start.Environment["DOTNET_EnableWriteXorExecute"] = "0";
        // It does not run for long enough to pay for being watched by the compiler.
        start.Environment["DOTNET_TieredPGO"] = "0";
        var process = Process.Start(start)!;
        var address = await process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken);
        return new Program(process, address ?? throw new InvalidOperationException("The program ended before it said where it is."));
    }

    /// <summary>As the system does it when it has no memory left: at once, and nothing is told.</summary>
    public async Task Kill()
    {
        _process.Kill();
        await _process.WaitForExitAsync();
    }

    public async ValueTask DisposeAsync()
    {
        if (!_process.HasExited)
            await Kill();
        _process.Dispose();
    }
}
