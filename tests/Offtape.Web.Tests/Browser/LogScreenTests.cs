using Microsoft.Playwright;
using Offtape.Studio;

namespace Offtape.Web.Tests.Browser;

/// <summary>The log in a real browser: what the app did stands there, answers for a file, and is read again.</summary>
public sealed class LogScreenTests(Chromium chromium, PlayedQuay quay)
{
    [Fact]
    public async Task What_was_done_is_found_again_under_any_name_and_read_again()
    {
        var studio = await quay.Copy(chromium);
        LoggedPass logged;
        IReadOnlyList<LoggedReturn> returns;
        using (var store = StudioStore.OpenExisting(studio))
        {
            // Run long enough that upkeep is due.
            new MachineBook(store).AddHours(new MachineBook(store).All().Single().Machine.Name, 120, "2026-01-02T12:00:00Z", "");
            logged = new LogSearch(store).Passes(new PassFilter()).Single();
            returns = new PassHistory(store).Of(logged.PassId);
        }
        await using var visit = await Visit.Begin(chromium, folder: studio);
        var (served, window, page) = visit;
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
        var renamed = Path.Combine(visit.Desk, "final <mix> 7.wav");
        File.Copy(Path.Combine(served.Folder, take.Files[0].Path), renamed);
        // Dragged by a hand onto the page's own field for files.
        await window.DragIn(renamed, page.Locator("section[aria-labelledby=ask] .drop"));
        var answer = page.Locator("section[aria-labelledby=ask]");
        await answer.GetByText($"is a take of {take.Source}").WaitForAsync();
        Assert.Contains(logged.Tape!, await answer.Locator("tbody tr").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Empty(Directory.GetFiles(served.Folder, "*mix*", SearchOption.AllDirectories));
        Assert.Empty(Directory.GetFiles(Path.Combine(served.Folder, ".offtape", "asked")));

        // A file that the log knows nothing of.
        var foreign = Path.Combine(visit.Desk, "from elsewhere.wav");
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
    public async Task An_empty_log_says_how_to_begin_and_looking_makes_none()
    {
        await using var visit = await Visit.Begin(chromium);
        var (served, window, page) = visit;
        await page.GetByRole(AriaRole.Link, new() { Name = "Log", Exact = true }).ClickAsync();
        await page.GetByText("The log is empty").WaitForAsync();
        Assert.Equal(0, await page.Locator("main table, main .drop").CountAsync());
        Assert.False(File.Exists(Path.Combine(served.Folder, StudioStore.FileName)));
        await window.IsUsableByAll("empty log");
        await window.Picture("log-empty");

        // Where the line of screens is wider than the window, a sign stands at the end behind which there is more.
        await page.SetViewportSizeAsync(320, 640);
        await page.Locator("screen-line[data-before]").WaitForAsync();
        Assert.True(
            await page.GetByRole(AriaRole.Link, new() { Name = "Log", Exact = true })
                .EvaluateAsync<bool>("e => e.getBoundingClientRect().right <= innerWidth")
        );
        await page.GetByRole(AriaRole.Link, new() { Name = "Calc", Exact = true }).FocusAsync();
        await page.Locator("screen-line[data-before]:not([data-after])").WaitForAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "Kit", Exact = true }).FocusAsync();
        await page.Locator("screen-line[data-after]:not([data-before])").WaitForAsync();
        await page.SetViewportSizeAsync(1440, 900);
        await page.Locator("screen-line:not([data-after]):not([data-before])").WaitForAsync();
        window.HadNoErrors();
    }

    [Fact]
    public async Task Hours_upkeep_and_a_line_up_are_noted_by_hand_and_seen_in_another_window()
    {
        var studio = Directory.CreateTempSubdirectory("offtape-web-").FullName;
        const string deck = "deck <in> the corner";
        using (var store = StudioStore.Open(studio))
            new MachineBook(store).Put(new MachineEntry { Name = deck, HoursWhenAdded = 3 }, DateTime.UnixEpoch);
        await using var visit = await Visit.Begin(chromium, folder: studio);
        var (_, window, page) = visit;
        await window.Go("/log");
        await using var other = await visit.Another();
        MachineView Kept()
        {
            using var store = StudioStore.OpenExisting(studio);
            return new MachineBook(store).Find(deck);
        }

        // Hours that are none are told, and nothing is noted; then what is right.
        await page.GetByText("Add hours it ran").ClickAsync();
        await page.GetByLabel("Hours", new() { Exact = true }).FillAsync("many");
        await Press(page, "Add the hours");
        await page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "Hours: \"many\" is no number" }).WaitForAsync();
        Assert.Equal(0, Kept().Hours.Typed);
        await page.GetByLabel("Hours", new() { Exact = true }).FillAsync("9,5");
        await Press(page, "Add the hours");
        await page.GetByText($"Noted for {deck}: 9,5").WaitForAsync();
        Assert.Equal(9.5, Kept().Hours.Typed);

        // 12.5 h are run: cleaning is due, in the other window as well.
        var clean = UpkeepTask.Find("clean-path")!;
        await other.Page.Locator(".log-due").Filter(new() { HasTextString = clean.Words }).WaitForAsync();

        // Upkeep that is not due: chosen, its cautions beside it, and noted for the day on which it was done.
        await page.GetByText("Note upkeep that was done").ClickAsync();
        var magnets = UpkeepTask.Find("demagnetise")!;
        await page.GetByLabel("What was done").SelectOptionAsync(magnets.Code);
        var form = page.Locator("details", new() { HasTextString = "Note upkeep that was done" });
        await form.GetByText(magnets.Cautions[0]).WaitForAsync();
        var shown = await form.InnerTextAsync();
        Assert.All(magnets.Cautions, c => Assert.Contains(c, shown, StringComparison.Ordinal));
        await form.GetByLabel("On the day").FillAsync("2026-02-03");
        await Press(page, "Note as done");
        await page.GetByText($"Noted for {deck}, at 12.5").WaitForAsync();
        Assert.Equal("2026-02-03", Kept().Upkeep.Single(u => u.Task == magnets.Code).LastDone);

        // A line-up without a figure is none.
        await page.GetByText("Line-ups").First.ClickAsync();
        await Press(page, "Note the line-up");
        await page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "A line-up has a figure" }).WaitForAsync();
        Assert.Empty(Kept().LineUps);
        await page.GetByLabel("Sent at the meter's zero").FillAsync("−12");
        await page.GetByLabel("Comes back then").FillAsync("-14.5");
        await page.GetByLabel("Trim turned by").FillAsync("+2.5");
        await page.GetByRole(AriaRole.Combobox, new() { Name = "Speed" }).SelectOptionAsync("4.7625");
        await Press(page, "Note the line-up");
        await page.GetByText($"The line-up of {deck} is noted").WaitForAsync();
        var lineUp = Assert.Single(Kept().LineUps);
        Assert.Equal((-12.0, -14.5, 2.5, 4.7625), (lineUp.SendDbfsAtZero, lineUp.ReturnDbfsAtZero, lineUp.TrimDb, lineUp.SpeedCmPerSecond));
        await window.IsUsableByAll("machines of the log");
        await window.Picture("log-machines");
        window.HadNoErrors();
    }

    [Fact]
    public async Task Facts_of_a_pass_are_mended_and_the_log_is_made_anew_from_its_files()
    {
        await using var visit = await Visit.Begin(chromium, folder: await quay.Copy(chromium));
        var (served, window, page) = visit;
        LoggedPass Logged()
        {
            using var store = StudioStore.OpenExisting(served.Folder);
            return new LogSearch(store).Passes(new PassFilter()).Single();
        }
        var before = Logged();
        await window.Go($"/log/{before.PassId}");
        await page.GetByText("Mend or complete this").ClickAsync();
        await page.GetByLabel("Pitch control, in %").FillAsync("seven");
        await window.Button("Keep this").ClickAsync();
        await page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "Pitch control: \"seven\" is no number" }).WaitForAsync();
        Assert.Equal(before, Logged() with { Sources = before.Sources, TapeTracks = before.TapeTracks });
        await page.GetByLabel("Pitch control, in %").FillAsync("-1,5");
        await page.GetByLabel("Its side").FillAsync("B");
        await page.GetByLabel("The send begins at").FillAsync("2:05");
        await page.GetByLabel("Noise reduction").FillAsync("off");
        await page.GetByLabel("A remark").FillAsync("new belt <b>");
        await window.Button("Keep this").ClickAsync();
        await page.GetByText("Kept.").WaitForAsync();
        var after = Logged();
        Assert.Equal(
            (before.Machine, before.Tape, "B", -1.5, 125.0, "off", "new belt <b>"),
            (after.Machine, after.Tape, after.Side, after.PitchPercent, after.StartSeconds, after.NoiseReduction, after.Note)
        );
        await page.Locator("dl.facts").GetByText("C60, side B").WaitForAsync();
        await window.IsUsableByAll("pass of the log, mended");
        await window.Picture("log-pass-mended");

        // What is so no more is emptied, also what the sheet says; a side without its tape is none.
        await page.GetByLabel("Tape", new() { Exact = true }).FillAsync("");
        await page.GetByLabel("Its side").FillAsync("A");
        await window.Button("Keep this").ClickAsync();
        await page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "A side needs its tape" }).WaitForAsync();
        Assert.Equal(after, Logged() with { Sources = after.Sources, TapeTracks = after.TapeTracks });
        await window.Button("as the log has it").ClickAsync();
        await Assertions.Expect(page.GetByLabel("Tape", new() { Exact = true })).ToHaveValueAsync(after.Tape!);
        await page.GetByLabel("Machine", new() { Exact = true }).FillAsync("");
        await page.GetByLabel("Noise reduction").FillAsync("");
        await window.Button("Keep this").ClickAsync();
        await page.Locator("dl.facts > div", new() { HasTextString = "Machine" }).GetByText("not said").WaitForAsync();
        after = after with { Machine = null, NoiseReduction = null };
        Assert.Equal(after, Logged() with { Sources = after.Sources, TapeTracks = after.TapeTracks });

        // What the files say is there already; a pass the log does not have is taken in.
        await window.Go("/log");
        var files = page.Locator("section[aria-labelledby=rebuild]");
        await window.Button("Take in what the files say").ClickAsync();
        await files.GetByText("New to the log: 0 sends, 0 returns").WaitForAsync();

        // Anew: asked first; left, nothing is done.
        await window.Button("make the log anew …").ClickAsync();
        await files.GetByText("Make the log anew?").WaitForAsync();
        await window.IsUsableByAll("log, before it is made anew");
        await window.Picture("log-anew");
        await window.Button("leave it as it is").ClickAsync();
        Assert.Equal(after.Note, Logged().Note);
        await window.Button("make the log anew …").ClickAsync();
        await window.Button("Put it aside and make it anew").ClickAsync();
        await files.GetByText("New to the log: 1 send, 1 return").WaitForAsync();
        var aside = Assert.Single(Directory.GetFiles(Path.Combine(served.Folder, ".offtape", "backups"), "put-aside-*.db"));
        Assert.Contains(Path.GetFileName(aside), await files.InnerTextAsync(), StringComparison.Ordinal);
        // What was typed comes from the files that keep it.
        Assert.Equal(after, Logged() with { Sources = after.Sources, TapeTracks = after.TapeTracks });
        Assert.Equal(1, await page.Locator("section[aria-labelledby=passes] tbody tr").CountAsync());
        window.HadNoErrors();
    }

    /// <summary>What would go is shown first; a clear yes takes it out; what came back, or may have been run, stays.</summary>
    [Fact]
    public async Task A_pass_that_was_never_run_is_taken_out_and_evidence_stays()
    {
        await using var visit = await Visit.Begin(chromium, folder: await quay.Copy(chromium));
        var (served, window, page) = visit;
        IReadOnlyList<LoggedPass> Logged()
        {
            using var store = StudioStore.OpenExisting(served.Folder);
            return new LogSearch(store).Passes(new PassFilter());
        }
        var evidence = Assert.Single(Logged());
        var sound = Path.Combine(visit.Desk, "low pulse.wav");
        await File.WriteAllBytesAsync(sound, Sounds.Wav(1, seed: 12), TestContext.Current.CancellationToken);
        await window.Drop("Clean sounds", sound);
        await window.IsAt("pass");
        var unsent = page.Url;
        await page.GetByLabel("Tape", new() { Exact = true }).FillAsync("LQ-8");
        await page.GetByLabel("Tape", new() { Exact = true }).BlurAsync();
        await window.Button("Make the send").ClickAsync();
        await window.Heading("At the machine").WaitForAsync();
        var never = Logged().Single(p => p.PassId != evidence.PassId);
        var send = Path.Combine(served.Folder, Path.GetDirectoryName(never.Sheet!)!, "send.wav");

        // Evidence: refused, and no question is asked.
        await window.Go($"/log/{evidence.PassId}");
        await window.Button("take it out of the log …").ClickAsync();
        await page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "it came back 1 time" }).WaitForAsync();
        Assert.Equal(0, await page.GetByText("out of the log?").CountAsync());

        // Only what has not come back is offered; shown first, by keyboard, and left.
        await window.Go("/log");
        await page.GetByText("Take out passes that were never run").ClickAsync();
        var box = page.Locator("details", new() { HasTextString = "Take out passes" }).GetByRole(AriaRole.Checkbox);
        Assert.Equal(1, await box.CountAsync());
        Assert.True(await window.Button("show what would go …").IsDisabledAsync());
        await box.FocusAsync();
        await page.Keyboard.PressAsync("Space");
        await Assertions.Expect(window.Button("show what would go …")).ToBeEnabledAsync();
        await window.Button("show what would go …").FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        var asked = page.Locator(".note", new() { HasTextString = "Take this pass out of the log?" });
        await asked.WaitForAsync();
        var told = await asked.InnerTextAsync();
        Assert.All(
            [never.PassId, "Frees: LQ-8, side A", "send.wav stays where it is"],
            t => Assert.Contains(t, told, StringComparison.Ordinal)
        );
        await asked.GetByRole(AriaRole.Checkbox).CheckAsync();
        await asked.GetByText("send.wav would be deleted").WaitForAsync();
        await window.IsUsableByAll("log, before a pass is taken out");
        await window.Picture("log-take-out");
        await window.Button("leave it in the log").ClickAsync();
        await asked.WaitForAsync(new() { State = WaitForSelectorState.Detached });
        Assert.Equal(2, Logged().Count);

        // Once a recording of it is there, it may have been run.
        var captures = Directory.CreateDirectory(
            Path.Combine(served.Folder, "captures", Path.GetFileName(Path.GetDirectoryName(never.Sheet!)!))
        );
        File.Copy(sound, Path.Combine(captures.FullName, "Audio 9.wav"));
        await window.Button("show what would go …").ClickAsync();
        await page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "1 recording of it was brought in" }).WaitForAsync();
        captures.Delete(recursive: true);

        // With its files: the clean sound stays, and the pass can be sent anew.
        await window.Go($"/log/{never.PassId}");
        await window.Button("take it out of the log …").ClickAsync();
        await asked.GetByRole(AriaRole.Checkbox).CheckAsync();
        await window.Button("Take it out of the log").ClickAsync();
        await window.Heading("Out of the log").WaitForAsync();
        Assert.Contains("Freed: LQ-8, side A", await page.Locator("p.said").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal(evidence.PassId, Assert.Single(Logged()).PassId);
        Assert.False(File.Exists(send));
        Assert.True(File.Exists(Path.Combine(Path.GetDirectoryName(send)!, "sources", "low pulse.wav")));
        await window.Go(new Uri(unsent).AbsolutePath);
        await Assertions.Expect(window.Button("Make the send")).ToBeEnabledAsync();
        window.HadNoErrors();
    }

    [Fact]
    public async Task A_log_that_is_damaged_is_told_and_left_alone()
    {
        var studio = Directory.CreateTempSubdirectory("offtape-web-").FullName;
        var database = Path.Combine(studio, StudioStore.FileName);
        var bytes = "this is no database, and somebody may still want it"u8.ToArray();
        await File.WriteAllBytesAsync(database, bytes, TestContext.Current.CancellationToken);
        await using var visit = await Visit.Begin(chromium, folder: studio);
        var (_, window, _) = visit;
        await window.Go("/log");
        await window.Page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "The log cannot be read" }).WaitForAsync();
        await window.IsUsableByAll("log that is damaged");
        Assert.Equal(bytes, await File.ReadAllBytesAsync(database, TestContext.Current.CancellationToken));
        window.HadNoErrors();
    }

    private static Task Press(IPage page, string begins) =>
        page.GetByRole(AriaRole.Button, new() { NameRegex = new($"^{begins}: ") }).ClickAsync();
}
