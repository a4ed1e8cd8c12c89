using System.Diagnostics;
using Microsoft.Playwright;

namespace Offtape.Web.Tests.Browser;

/// <summary>The program itself, killed in the middle of a job, and started again.</summary>
public sealed class FaultTests(Chromium chromium) : IDisposable
{
    private readonly string _desk = Directory.CreateTempSubdirectory("offtape-desk-").FullName;
    private readonly int _port = Served.FreePort();

    public void Dispose() => Directory.Delete(_desk, recursive: true);

    [Fact]
    public async Task Killed_in_a_job_the_page_says_so_comes_back_and_nothing_is_lost()
    {
        var studio = Path.Combine(_desk, "studio");
        var (first, address) = await Start(studio);
        await using var context = await chromium.New();
        await using var window = await Window.Open(context, address);
        var page = window.Page;
        await window.Drop("Clean sounds", TestMachine.WriteSources(Path.Combine(_desk, "sounds")));
        await window.IsAt("pass");
        await window.Button("Make the send").ClickAsync();
        await window.Heading("At the machine").WaitForAsync();
        var capture = Path.Combine(_desk, "back.wav");
        TestMachine.Print(Directory.GetFiles(studio, "send.wav", SearchOption.AllDirectories).Single(), capture);
        await page.GetByText("Bring back what came").ClickAsync();
        await window.IsAt("return");
        await window.Drop("Add recordings", capture);
        await page.Locator("table.captures tbody tr").WaitForAsync();
        // As soon as the job is noted, before it can be done: the browser tells of it too late for a job that takes a second.
        var note = Path.Combine(studio, ".offtape", "job.json");
        await window.Button("Bring in").ClickAsync();
        while (!File.Exists(note))
            await Task.Delay(2, TestContext.Current.CancellationToken);
        first.Kill();
        await first.WaitForExitAsync(TestContext.Current.CancellationToken);

        await page.Locator("#gone:not([hidden])").WaitForAsync();
        Assert.Contains("your files are safe", await page.Locator("#gone").InnerTextAsync(), StringComparison.Ordinal);

        // The window that is open is known again: no new token is needed.
        var (second, _) = await Start(studio);
        using (second)
        {
            await page.GetByText("Offtape ended while it was bringing back").WaitForAsync();
            await window.Live();
            await page.Locator("table.captures tbody tr").WaitForAsync();
            Assert.Equal(
                File.ReadAllBytes(capture),
                File.ReadAllBytes(Directory.GetFiles(studio, "back.wav", SearchOption.AllDirectories).Single())
            );
            Assert.Empty(Directory.GetFileSystemEntries(studio, "*.part", SearchOption.AllDirectories));
            await window.Button("Bring in").ClickAsync();
            await page.Locator("table.takes tbody tr").Nth(2).WaitForAsync(new LocatorWaitForOptions { Timeout = 180_000 });
            second.Kill();
            await second.WaitForExitAsync(TestContext.Current.CancellationToken);
        }
        first.Dispose();
    }

    private async Task<(Process Process, string Address)> Start(string studio)
    {
        var command = new ProcessStartInfo("dotnet", [Path.Combine(AppContext.BaseDirectory, "offtape.dll"), "open", "--no-browser"])
        {
            RedirectStandardOutput = true,
            UseShellExecute = false,
        };
        foreach (var argument in (string[])["--studio", studio, "--port", $"{_port}"])
            command.ArgumentList.Add(argument);
        var process = Process.Start(command)!;
        var address = await process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken);
        return (process, address ?? throw new InvalidOperationException("The program ended before it said where it is."));
    }
}
