using System.IO.Compression;
using Microsoft.Playwright;
using Offtape.Cli.Verbs.Demo;
using Offtape.Studio;

namespace Offtape.Web.Tests.Browser;

/// <summary>The job from clean sounds to takes that are kept, in a real browser, with a simulated machine in the place of tape.</summary>
public sealed class MainJobTests(Chromium chromium, PlayedQuay quay)
{
    [Fact]
    public async Task From_clean_sounds_to_kept_takes()
    {
        // By the file that leads a browser in, as the command does it; the token does not stay in the address.
        await using var visit = await Visit.Begin(chromium, launch: s => new Uri(s.WriteLaunchFile()).AbsoluteUri);
        var (served, window, page) = visit;
        Assert.Equal($"{served.Server.Address}/", page.Url);
        await window.IsUsableByAll("first page");
        await window.Picture("1-what-now-empty");

        await window.Drop("Clean sounds", [.. TestMachine.WriteSources(visit.Desk), NoSound(visit)]);
        await window.IsAt("pass");
        await page.Locator(".arriving", new() { HasTextString = "notes.txt" }).WaitForAsync();
        await page.Locator("table.sounds tbody tr").Nth(2).WaitForAsync();
        await page.Locator("table.sounds svg.strip path.f-ink").Nth(2).WaitForAsync();
        await window.Button("put away").ClickAsync();
        await window.Button("marimba.wav earlier").ClickAsync();
        await page.GetByLabel("Machine", new() { Exact = true }).FillAsync("deck in the corner");
        await page.GetByLabel("Machine", new() { Exact = true }).BlurAsync();
        await page.GetByLabel("A side, in minutes").FillAsync("0.4");
        await page.GetByLabel("A side, in minutes").BlurAsync();
        await page.GetByText("It does not fit.").WaitForAsync();
        Assert.True(await window.Button("Make the send").IsDisabledAsync());
        await window.IsUsableByAll("pass that does not fit");
        await window.Picture("2-pass-does-not-fit");
        await page.GetByLabel("A side, in minutes").FillAsync("15");
        await page.GetByLabel("A side, in minutes").BlurAsync();
        await page.GetByRole(AriaRole.Combobox, new() { Name = "Speed" }).SelectOptionAsync("4.7625");
        await page.Locator(".ruler figcaption", new() { HasTextString = "of the side stay free" }).WaitForAsync();

        // Another window sees what is done in this one.
        await using var other = await visit.Another();
        await window.Button("Make the send").ClickAsync();
        await window.Heading("At the machine").WaitForAsync();
        await other.Heading("At the machine").WaitForAsync();
        await page.GetByLabel("With the machine switched off").CheckAsync();
        await other.Page.Locator(".run li.done").WaitForAsync();
        await other.Page.CloseAsync();
        Assert.Equal(["bass line.wav", "marimba.wav", "kit -loud.wav"], await page.Locator("table.sounds tbody th").AllTextContentsAsync());
        await window.IsUsableByAll("pass");
        await window.Picture("3-pass");

        var send = await Saved(visit, page.GetByText("Save send.wav"));
        var capture = Path.Combine(visit.Desk, "Audio 7 <b>.wav");
        TestMachine.Print(send, capture);
        var second = Path.Combine(visit.Desk, "zweiter Versuch.wav");
        TestMachine.Print(send, second, seed: 8);

        await window.Go("/");
        await window.IsUsableByAll("first page with a pass");
        await window.Picture("4-what-now");
        foreach (var index in (string[])["/pass", "/return"])
        {
            await window.Go(index);
            await window.IsUsableByAll(index);
        }
        await window.Go("/");
        await window.Drop("What came back", capture);
        await window.IsAt("return");
        await page.Locator("table.captures tbody tr").WaitForAsync();
        await window.Drop("Add recordings", second, NoSound(visit));
        await page.Locator("table.captures tbody tr").Nth(1).WaitForAsync();
        await page.Locator(".arriving .bad").WaitForAsync();
        await window.IsUsableByAll("return before");
        await window.Picture("5-return-before");
        await window.Button("put away").ClickAsync();

        await window.Button("Bring in").ClickAsync();
        await page.Locator("table.takes tbody tr").Nth(5).WaitForAsync(new LocatorWaitForOptions { Timeout = 180_000 });
        await page.Locator("section.take svg.plot").First.WaitForAsync(new LocatorWaitForOptions { State = WaitForSelectorState.Attached });
        Assert.Contains("try 2", await page.Locator("table.takes").InnerTextAsync(), StringComparison.Ordinal);
        await window.IsUsableByAll("return");
        await window.Picture("6-return");

        // The value under the pointer.
        await page.Locator("section.take .wave-host[data-drawn=sharp]").WaitForAsync();
        await page.Locator("section.take .wave-box").HoverAsync();
        await Assertions.Expect(page.Locator("section.take .wave-reading")).ToContainTextAsync("in the recording");
        await page.Locator("svg.plot.at-wide").First.HoverAsync();
        Assert.NotEmpty(await page.Locator("[data-reading]").First.InnerTextAsync());

        // A stretch that is looped belongs to its take: another one begins without.
        var loop = page.Locator("section.take [data-part=loop]");
        await loop.ClickAsync();
        await Assertions.Expect(loop).ToHaveAttributeAsync("aria-pressed", "true");
        await page.GetByRole(AriaRole.Button, new() { Name = "marimba, try 1", Exact = true }).ClickAsync();
        await page.Locator("section.take h2", new() { HasTextString = "marimba" }).WaitForAsync();
        await Assertions.Expect(loop).ToHaveAttributeAsync("aria-pressed", "false");
        // Looped: four seconds of sound may be over before a slow machine has come to the next line.
        await loop.ClickAsync();
        await page.Locator("section.take [data-part=play]:not(:disabled)").ClickAsync();
        await page.Locator("section.take hear-desk[data-start-milliseconds]").WaitForAsync();
        await page.GetByLabel("lock", new() { Exact = true }).CheckAsync();
        await page.GetByText("Save this take, lock").WaitForAsync();
        Assert.Equal(
            "lock",
            await page.EvaluateAsync<string>(
                "() => { const { player } = document.querySelector('section.take hear-desk'); return player.variants[player.chosen].name; }"
            )
        );
        await page.Locator("section.take [data-part=play]", new() { HasTextString = "Pause" }).ClickAsync();
        await page.Locator("input[data-mark=keep][data-row='2']").CheckAsync();
        await page.Locator("input[data-mark=again][data-row='3']").CheckAsync();
        var kept = await Saved(visit, page.GetByText("Save what is kept"));
        await HoldsTheKeptTake(kept, served);
        IsInTheLog(served);

        // What was recorded, and a take, go away under the page.
        File.Delete(Directory.GetFiles(Path.Combine(served.Folder, "captures"), "Audio 7*", SearchOption.AllDirectories).Single());
        foreach (var take in Directory.GetFiles(Path.Combine(served.Folder, "takes"), "bass line-tape.wav", SearchOption.AllDirectories))
            File.Delete(take);
        await page.ReloadAsync();
        await window.Live();
        await page.GetByText("is not there any more. Its takes stay").WaitForAsync();
        await page.GetByText("file of this take is not there any more").WaitForAsync();

        window.HadNoErrors();
    }

    /// <summary>What was done in the app is in the studio's log: the pass, that it came back, and what made a take.</summary>
    private static void IsInTheLog(Served served)
    {
        using var store = StudioStore.OpenExisting(served.Folder);
        Assert.Empty(store.IntegrityFaults());
        Assert.Contains(new LogSearch(store).Passes(new PassFilter()), p => p.ReturnCount > 0);
        var take = Directory.GetFiles(Path.Combine(served.Folder, "takes"), "bass line-tape.wav", SearchOption.AllDirectories)[0];
        var found = new OriginSearch(store).Of(take);
        Assert.Equal("content", found.KnownBy);
        Assert.Equal("bass line.wav", found.Source);
        Assert.True(new LogVerifier(store).Verify(follow: false, Base.JobProgress.None, CancellationToken.None).IsFine);
    }

    [Fact]
    public async Task The_main_job_by_keyboard_alone()
    {
        await using var visit = await Visit.Begin(chromium);
        var (served, window, page) = visit;
        var sources = TestMachine.WriteSources(visit.Desk)[..1];

        await page.Keyboard.PressAsync("?");
        await page.Locator("dialog[open]").WaitForAsync();
        await page.Keyboard.PressAsync("Escape");
        await ChooseFiles(page, "Clean sounds", sources);
        await window.IsAt("pass");
        await page.Locator("table.sounds tbody tr").WaitForAsync();
        await Press(page, "Make the send");
        await window.Heading("At the machine").WaitForAsync();
        await TabTo(page, "With the machine switched off");
        await page.Keyboard.PressAsync("Space");
        await page.Locator(".run li.done").WaitForAsync();

        var send = Directory.GetFiles(Path.Combine(served.Folder, "passes"), "send.wav", SearchOption.AllDirectories).Single();
        var capture = Path.Combine(visit.Desk, "back.wav");
        TestMachine.Print(send, capture);
        await Press(page, "Bring back what came");
        await window.IsAt("return");
        await ChooseFiles(page, "Add recordings", [capture]);
        await page.Locator("table.captures tbody tr").WaitForAsync();
        await Press(page, "Bring in");
        await page.Locator("table.takes tbody tr").WaitForAsync(new LocatorWaitForOptions { Timeout = 180_000 });
        await TabTo(page, "bass line");
        await page.Keyboard.PressAsync("4");
        await page.GetByText("Save this take, lock").WaitForAsync();
        await page.Keyboard.PressAsync("k");
        await page.GetByText("Save what is kept").WaitForAsync();
        await page.Locator("section.take [data-part=play]:not(:disabled)").WaitForAsync();
        await TabTo(page, "Place in bass line");
        await page.Keyboard.PressAsync("Space");
        await page.Locator("section.take hear-desk[data-start-milliseconds]").WaitForAsync();
        await page.Keyboard.PressAsync("Space");
        await page.Keyboard.PressAsync("ArrowRight");
        await page.Keyboard.PressAsync("l");
        await page.Keyboard.PressAsync("s");
        await Assertions.Expect(page.Locator("input[data-hear=source]")).ToBeCheckedAsync();
        await TabTo(page, "Save what is kept");
        var download = await page.RunAndWaitForDownloadAsync(() => page.Keyboard.PressAsync("Enter"));
        Assert.EndsWith("lock.zip", download.SuggestedFilename, StringComparison.Ordinal);
        window.HadNoErrors();
    }

    [Fact]
    public async Task Lantern_Quay_is_one_click_away()
    {
        var (_, window, page) = await quay.Look(chromium);
        Assert.Contains("Found all 4", await page.Locator("p.said[role=status]").InnerTextAsync(), StringComparison.Ordinal);
        await window.Picture("8-lantern-quay");
        window.HadNoErrors();
    }

    private static async Task HoldsTheKeptTake(string path, Served served)
    {
        await using var zip = await ZipFile.OpenReadAsync(path);
        Assert.Equal(["marimba-tape.wav", "takes.txt"], zip.Entries.Select(e => e.Name).Order());
        using var inside = new MemoryStream();
        await using (var entry = await zip.GetEntry("marimba-tape.wav")!.OpenAsync())
            await entry.CopyToAsync(inside);
        var take = Directory.GetFiles(Path.Combine(served.Folder, "takes"), "marimba-tape.wav", SearchOption.AllDirectories);
        Assert.Equal(File.ReadAllBytes(take.Single(t => t.Contains("lock", StringComparison.Ordinal))), inside.ToArray());
    }

    private static string NoSound(Visit visit) => visit.Lay("notes.txt", "not a sound");

    private static async Task<string> Saved(Visit visit, ILocator link)
    {
        var download = await visit.Window.Page.RunAndWaitForDownloadAsync(() => link.ClickAsync());
        var path = Path.Combine(visit.Desk, $"saved {download.SuggestedFilename}");
        await download.SaveAsAsync(path);
        return path;
    }

    private static async Task ChooseFiles(IPage page, string title, string[] files)
    {
        await TabTo(page, title);
        // The browser confirms that it hands its dialog over before the key is pressed: a headless one has no other way to show it.
        var browser = await page.Context.NewCDPSessionAsync(page);
        var opened = new TaskCompletionSource();
        browser.Event("Page.fileChooserOpened").OnEvent += (_, _) => opened.TrySetResult();
        await browser.SendAsync("Page.enable");
        await browser.SendAsync("Page.setInterceptFileChooserDialog", new() { ["enabled"] = true });
        await page.Keyboard.PressAsync("Enter");
        await opened.Task.WaitAsync(TimeSpan.FromSeconds(60));
        await browser.DetachAsync();
        await page.Locator("input:focus").SetInputFilesAsync(files);
    }

    private static async Task Press(IPage page, string name)
    {
        await page.Locator("button:enabled, a", new() { HasTextString = name }).First.WaitForAsync();
        await TabTo(page, name);
        await page.Keyboard.PressAsync("Enter");
    }

    /// <summary>Goes round with the Tab key until what has that name is focused.</summary>
    private static async Task TabTo(IPage page, string name)
    {
        for (var i = 0; i < 120; i++)
        {
            await page.Keyboard.PressAsync("Tab");
            var text = await page.EvaluateAsync<string>(
                "() => { const e = document.activeElement; return e === document.body ? '' : (e.getAttribute('aria-label') ?? '') + ' ' + (e.closest('label')?.innerText ?? e.innerText ?? ''); }"
            );
            if (text.Contains(name, StringComparison.Ordinal))
                return;
        }
        Assert.Fail($"The Tab key does not lead to \"{name}\".");
    }
}
