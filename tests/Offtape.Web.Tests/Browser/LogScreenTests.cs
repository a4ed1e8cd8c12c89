using Microsoft.Playwright;
using Offtape.Cli.Verbs.Demo;
using Offtape.Studio;

namespace Offtape.Web.Tests.Browser;

/// <summary>The log in a real browser: what the app did stands there, answers for a file, and is read again.</summary>
[Collection(nameof(Chromium))]
public sealed class LogScreenTests(Chromium chromium) : IDisposable
{
    private readonly string _desk = Directory.CreateTempSubdirectory("offtape-desk-").FullName;

    public void Dispose() => Directory.Delete(_desk, recursive: true);

    [Fact]
    public async Task What_was_done_is_found_again_under_any_name_and_read_again()
    {
        await using var served = await Served.Start(o => o with { Demo = new LanternQuayMaterial() });
        await using var context = await chromium.New();
        await using var window = await Window.Open(context, served.Server.LaunchAddress);
        var page = window.Page;

        // Empty at first: it says how to begin, and looking makes no log.
        await page.GetByRole(AriaRole.Link, new() { Name = "Log", Exact = true }).ClickAsync();
        await page.GetByText("The log is empty").WaitForAsync();
        Assert.Equal(0, await page.Locator("main table, main .drop").CountAsync());
        Assert.False(File.Exists(Path.Combine(served.Folder, StudioStore.FileName)));
        await window.IsUsableByAll("empty log");
        await window.Picture("log-empty");

        await window.Go("/");
        await window.Button("Play Lantern Quay").ClickAsync();
        await window.IsAt("return");
        await page.Locator("table.takes tbody tr").First.WaitForAsync(new LocatorWaitForOptions { Timeout = 180_000 });
        await page.Locator("footer.job.empty").WaitForAsync(new() { State = WaitForSelectorState.Attached, Timeout = 180_000 });
        LoggedPass logged;
        IReadOnlyList<LoggedReturn> returns;
        using (var store = StudioStore.OpenExisting(served.Folder))
        {
            // Run long enough that upkeep is due.
            new MachineBook(store).AddHours(new MachineBook(store).All().Single().Machine.Name, 120, "2026-01-02T12:00:00Z", "");
            logged = new LogSearch(store).Passes(new PassFilter()).Single();
            returns = new PassHistory(store).Of(logged.PassId);
        }
        var takes = Directory.GetFiles(Path.Combine(served.Folder, "takes"), "*.wav", SearchOption.AllDirectories);
        Assert.NotEmpty(takes);
        Assert.Equal(
            takes.Select(t => Path.GetRelativePath(served.Folder, t)).Order(StringComparer.Ordinal),
            returns.SelectMany(r => r.Takes).SelectMany(t => t.Files).Select(f => f.Path).Order(StringComparer.Ordinal)
        );

        await window.Go("/log");
        var rows = page.Locator("section[aria-labelledby=passes] tbody tr");
        Assert.Equal(1, await rows.CountAsync());
        Assert.Contains(logged.Machine!, await rows.First.InnerTextAsync(), StringComparison.Ordinal);

        // Filters hold what fits and put away what does not.
        var sound = page.GetByLabel("A sound whose name holds");
        await sound.FillAsync("theremin");
        await sound.BlurAsync();
        await page.GetByText("No pass of the log is like that").WaitForAsync();
        await sound.FillAsync(logged.Sources[0][..4]);
        await sound.BlurAsync();
        await page.GetByText("1 of 1 pass.").WaitForAsync();
        await page.GetByRole(AriaRole.Combobox, new() { Name = "Machine" }).SelectOptionAsync(logged.Machine!);
        await page.GetByRole(AriaRole.Combobox, new() { Name = "Tape" }).SelectOptionAsync(logged.Tape!);
        await page.GetByRole(AriaRole.Combobox, new() { Name = "Speed" }).SelectOptionAsync(new SelectOptionValue { Index = 1 });
        await page.GetByLabel("From the day").FillAsync(logged.At[..10]);
        await page.GetByLabel("Up to the day").FillAsync(logged.At[..10]);
        await page.GetByText("1 of 1 pass.").WaitForAsync();
        await page.GetByLabel("Up to the day").FillAsync("2001-01-01");
        await page.GetByText("No pass of the log is like that").WaitForAsync();
        await window.Button("show all").ClickAsync();
        await rows.First.WaitForAsync();

        // A take under another name says which pass it was, and nothing of it stays.
        var take = returns[0].Takes.First(t => t.Files.Count > 0);
        var renamed = Path.Combine(_desk, "final <mix> 7.wav");
        File.Copy(Path.Combine(served.Folder, take.Files[0].Path), renamed);
        await page.GetByLabel("A take, recording, send or source").SetInputFilesAsync(renamed);
        var answer = page.Locator("section[aria-labelledby=ask]");
        await answer.GetByText($"is a take of {take.Source}").WaitForAsync();
        Assert.Contains(logged.Tape!, await answer.Locator("tbody tr").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Empty(Directory.GetFiles(served.Folder, "*mix*", SearchOption.AllDirectories));
        Assert.Empty(Directory.GetFiles(Path.Combine(served.Folder, ".offtape", "asked")));

        // A file that the log knows nothing of.
        var foreign = Path.Combine(_desk, "from elsewhere.wav");
        await File.WriteAllBytesAsync(foreign, Sounds.Wav(1, seed: 90), TestContext.Current.CancellationToken);
        await page.GetByLabel("A take, recording, send or source").SetInputFilesAsync(foreign);
        await answer.GetByText("Nothing is known of from elsewhere.wav").WaitForAsync();
        Assert.Equal(0, await answer.Locator("tbody tr").CountAsync());

        // Upkeep that is due, with its cautions; done, it is due no more.
        var due = page.Locator(".log-due");
        var before = await due.CountAsync();
        var clean = UpkeepTask.Find("clean-path")!;
        var cleaning = due.Filter(new() { HasTextString = clean.Words });
        var cautions = await cleaning.InnerTextAsync();
        Assert.All(clean.Cautions, c => Assert.Contains(c, cautions, StringComparison.Ordinal));
        await window.IsUsableByAll("log");
        await window.Picture("log");
        await page.EmulateMediaAsync(new() { ColorScheme = ColorScheme.Dark });
        await window.IsUsableByAll("log, dark");
        await window.Picture("log-dark");
        await page.EmulateMediaAsync(new() { ColorScheme = ColorScheme.Light });
        await cleaning.GetByRole(AriaRole.Button).ClickAsync();
        await cleaning.WaitForAsync(new() { State = WaitForSelectorState.Detached });
        Assert.Equal(before - 1, await due.CountAsync());

        // Everything is there; then one file is gone and another is moved.
        await window.Button("Verify everything").ClickAsync();
        var verified = page.Locator("section[aria-labelledby=verified]");
        await verified.GetByText("of the log are there as they were").WaitForAsync();
        File.Delete(Path.Combine(served.Folder, take.Files[0].Path));
        var capture = Path.Combine(served.Folder, returns[0].Capture);
        File.Move(capture, Path.Combine(served.Folder, "elsewhere.wav"));
        await window.Button("Verify everything").ClickAsync();
        await verified.GetByText("1 is missing and 1 was moved.").WaitForAsync();
        Assert.Contains(take.Files[0].Path, await verified.InnerTextAsync(), StringComparison.Ordinal);
        await window.IsUsableByAll("log verified");
        await window.Picture("log-verified");
        await window.Button("Read again, and note where they lie now").ClickAsync();
        await verified.GetByText("Moved, and noted").WaitForAsync();

        // One pass in full.
        await rows.First.GetByRole(AriaRole.Link).ClickAsync();
        await window.Heading("How everything was set").WaitForAsync();
        var full = await page.Locator("main").InnerTextAsync();
        Assert.Contains(logged.Machine!, full, StringComparison.Ordinal);
        Assert.Contains("elsewhere.wav", full, StringComparison.Ordinal);
        Assert.Equal(returns.Sum(r => r.Takes.Count), await page.Locator(".log-return tbody tr").CountAsync());
        Assert.All(returns[0].Takes.SelectMany(t => t.Files), f => Assert.Contains(f.Path, full, StringComparison.Ordinal));
        await window.IsUsableByAll("pass of the log");
        await window.Picture("log-pass");
        await page.GetByRole(AriaRole.Link, new() { Name = "Open its takes" }).ClickAsync();
        await window.IsAt("return");

        await window.Go("/log/no-such");
        await window.Heading("The log has no pass of that name").WaitForAsync();
        window.HadNoErrors();
    }

    [Fact]
    public async Task A_log_that_is_damaged_is_told_and_left_alone()
    {
        await using var served = await Served.Start();
        var database = Path.Combine(served.Folder, StudioStore.FileName);
        var bytes = "this is no database, and somebody may still want it"u8.ToArray();
        await File.WriteAllBytesAsync(database, bytes, TestContext.Current.CancellationToken);
        await using var context = await chromium.New();
        await using var window = await Window.Open(context, served.Server.LaunchAddress);
        await window.Go("/log");
        await window.Page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "The log cannot be read" }).WaitForAsync();
        await window.IsUsableByAll("log that is damaged");
        Assert.Equal(bytes, await File.ReadAllBytesAsync(database, TestContext.Current.CancellationToken));
        window.HadNoErrors();
    }
}
