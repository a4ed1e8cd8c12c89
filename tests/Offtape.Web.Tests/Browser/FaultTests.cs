using Microsoft.Playwright;

namespace Offtape.Web.Tests.Browser;

/// <summary>The program itself, killed in the middle of its work and started again, and on a disk that is full.</summary>
public sealed class FaultTests(Chromium chromium) : IDisposable
{
    private readonly string _desk = Directory.CreateTempSubdirectory("offtape-desk-").FullName;
    private readonly int _port = Served.FreePort();

    private string Studio => Path.Combine(_desk, "studio");

    public void Dispose() => Directory.Delete(_desk, recursive: true);

    [Fact]
    public async Task Killed_in_a_job_the_page_says_so_comes_back_and_nothing_is_lost()
    {
        await using var first = await Program.Start(Studio, _port);
        await using var context = await chromium.New();
        await using var window = await Window.Open(context, first.LaunchAddress);
        var page = window.Page;
        await window.Drop("Clean sounds", TestMachine.WriteSources(Path.Combine(_desk, "sounds")));
        await window.IsAt("pass");
        await window.Button("Make the send").ClickAsync();
        await window.Heading("At the machine").WaitForAsync();
        var capture = Path.Combine(_desk, "back.wav");
        TestMachine.Print(Directory.GetFiles(Studio, "send.wav", SearchOption.AllDirectories).Single(), capture);
        await page.GetByText("Bring back what came").ClickAsync();
        await window.IsAt("return");
        await window.Drop("Add recordings", capture);
        await page.Locator("table.captures tbody tr").WaitForAsync();
        // As soon as the job is noted, before it can be done: the browser tells of it too late for a job that takes a second.
        var note = Path.Combine(Studio, ".offtape", "job.json");
        await window.Button("Bring in").ClickAsync();
        await Until(() => File.Exists(note));
        await first.Kill();
        await SaysThatItWaits(window);

        // The window that is open is known again: no new token is needed.
        await using var second = await Program.Start(Studio, _port);
        await page.GetByText("Offtape ended while it was bringing back").WaitForAsync();
        await window.Live();
        await page.Locator("table.captures tbody tr").WaitForAsync();
        Assert.Equal(File.ReadAllBytes(capture), File.ReadAllBytes(Found("back.wav").Single()));
        Assert.Empty(Found("*.part"));
        await window.Button("Bring in").ClickAsync();
        await page.Locator("table.takes tbody tr").Nth(2).WaitForAsync(new() { Timeout = 180_000 });
    }

    [Fact]
    public async Task Killed_while_a_recording_comes_in_its_half_is_gone_and_the_page_says_what_happened()
    {
        await using var first = await Program.Start(Studio, _port);
        await using var context = await chromium.New();
        await using var window = await Window.Open(context, first.LaunchAddress);
        var page = window.Page;
        var sources = TestMachine.WriteSources(Path.Combine(_desk, "sounds"));
        await window.Drop("Clean sounds", sources[0]);
        await page.Locator("table.sounds tbody tr").WaitForAsync();
        await page.GotoAsync(page.Url.Replace("/pass/", "/return/", StringComparison.Ordinal));
        await window.Live();
        // Long enough that it cannot be whole before its first block is seen on the disk; it has holes, so that it takes no room here.
        var large = Path.Combine(_desk, "back <2>.wav");
        using (var file = File.Create(large))
            file.SetLength(1L << 30);
        await window.Drop("Add recordings", large, sources[1]);
        string[] Half() => [.. Found("*.part").Where(p => p.Contains("captures", StringComparison.Ordinal))];
        await Until(() => Half().Any(p => new FileInfo(p) is { Exists: true, Length: > 0 }));
        await first.Kill();
        Assert.Single(Half());
        await SaysThatItWaits(window);

        await using (var second = await Program.Start(Studio, _port))
        {
            // Both are told: the one that was on its way, and the one that waited behind it.
            await page.GetByText("back -2.wav did not arrive whole: Offtape ended while it was on its way").WaitForAsync();
            await page.GetByText("kit -loud.wav did not arrive whole").WaitForAsync();
            await window.Live();
            Assert.Equal(0, await page.Locator("table.captures tbody tr").CountAsync());
            Assert.Empty(Found("*.part"));
            Assert.Empty(Found("back*"));
            await window.IsUsableByAll("a recording that did not arrive");
            await window.Picture("30-did-not-arrive");
            await window.Drop("Add recordings", sources[1]);
            await page.Locator("table.captures tbody tr").WaitForAsync();
            await window.Button("put away").First.ClickAsync();
            await Assertions.Expect(window.Button("put away")).ToHaveCountAsync(1);
            await second.Kill();
        }

        // What was put away is told no more; what was not is told until it is.
        await SaysThatItWaits(window);
        await using var third = await Program.Start(Studio, _port);
        await page.GetByText("kit -loud.wav did not arrive whole").WaitForAsync(new() { State = WaitForSelectorState.Detached });
    }

    [Fact]
    public async Task A_disk_that_is_full_on_the_way_is_told_in_one_line_and_nothing_of_the_file_stays()
    {
        await using var program = await Program.Start(Studio, _port, mostFileKilobytes: 2048);
        await using var context = await chromium.New();
        await using var window = await Window.Open(context, program.LaunchAddress);
        var page = window.Page;
        var large = Path.Combine(_desk, "long.wav");
        await File.WriteAllBytesAsync(large, Sounds.Wav(seconds: 30), TestContext.Current.CancellationToken);
        Assert.True(new FileInfo(large).Length > 2 * 2048 * 1024);
        await window.Drop("Clean sounds", large);
        await window.IsAt("pass");
        var told = page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "long.wav" });
        Assert.Equal(
            "Not taken: Cannot write \"long.wav\": the disk is full, or can hold no file of that size. Make room, then drop it again.",
            await told.InnerTextAsync()
        );
        Assert.Empty(Found("*.wav"));
        Assert.Empty(Found("*.part"));
        Assert.Equal(0, await page.Locator("table.sounds tbody tr").CountAsync());

        // What has room comes in as before.
        await window.Drop("Add clean sounds", TestMachine.WriteSources(Path.Combine(_desk, "sounds"))[0]);
        await page.Locator("table.sounds tbody tr").WaitForAsync();
        Assert.Single(Found("*.wav"));
    }

    private static async Task SaysThatItWaits(Window window)
    {
        await window.Page.Locator("#gone:not([hidden])").WaitForAsync();
        Assert.Contains("your files are safe", await window.Page.Locator("#gone").InnerTextAsync(), StringComparison.Ordinal);
    }

    // As soon as it is so: what is waited for may be over soon after.
    private static async Task Until(Func<bool> isSo)
    {
        using var patience = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        patience.CancelAfter(TimeSpan.FromSeconds(60));
        while (!isSo())
            await Task.Delay(2, patience.Token);
    }

    private string[] Found(string pattern) => Directory.GetFiles(Studio, pattern, SearchOption.AllDirectories);
}
