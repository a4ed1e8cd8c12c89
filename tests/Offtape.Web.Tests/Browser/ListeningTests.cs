using System.Globalization;
using System.Text.Json;
using Microsoft.Playwright;
using Offtape.Web.Tests.Listening;

namespace Offtape.Web.Tests.Browser;

/// <summary>A take seen and heard in a real browser.</summary>
[Collection(nameof(Chromium))]
public sealed class ListeningTests(Chromium chromium) : IDisposable
{
    private readonly string _studio = Directory.CreateTempSubdirectory("offtape-web-").FullName;

    public void Dispose()
    {
        if (Directory.Exists(_studio))
            Directory.Delete(_studio, recursive: true);
    }

    [Fact]
    public async Task A_take_is_seen_and_heard_and_its_retiming_switched()
    {
        var source = ListeningDesk.Source();
        ListeningDesk.Write(_studio, source, r => [.. source.Select(s => (r == "shift" ? 0.2f : 0.7f) * s)]);
        await using var served = await Served.Start(folder: _studio);
        await using var context = await chromium.New();
        await using var window = await Window.Open(context, served.Server.LaunchAddress);
        var page = window.Page;
        await window.Go($"/return/{ListeningDesk.PassId}");
        await page.Locator("hear-desk .wave-host[data-drawn=sharp]").WaitForAsync();
        await page.GetByText("Equally loud by ITU-R BS.1770").WaitForAsync();
        await window.IsUsableByAll("listening");
        await window.Picture("20-listening");

        await window.Button("Play").ClickAsync();
        await page.Locator("hear-desk[data-start-milliseconds]").WaitForAsync();
        await window.Button("Pause").WaitForAsync();
        await page.GetByLabel("lock", new() { Exact = true }).CheckAsync();
        Assert.Equal("lock", await Chosen(page));
        await page.Keyboard.PressAsync("s");
        Assert.Equal("source", await Chosen(page));
        await page.Keyboard.PressAsync("d");
        Assert.Equal("added", await Chosen(page));
        await page.GetByText("The lock take less its source, the take first brought nearest").WaitForAsync();
        await page.Keyboard.PressAsync("t");
        await page.Locator("h1").ClickAsync();
        await page.Keyboard.PressAsync(" ");
        await window.Button("Play").WaitForAsync();
        await page.Keyboard.PressAsync("ArrowRight");
        window.HadNoErrors();
    }

    private static Task<string> Chosen(IPage page) =>
        page.EvaluateAsync<string>(
            "() => { const d = document.querySelector('section.take hear-desk'); return d.player.variants[d.player.chosen].name; }"
        );
}
