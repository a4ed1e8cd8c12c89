using Microsoft.Playwright;
using Offtape.Bench;

namespace Offtape.Web.Tests.Browser;

/// <summary>The bench in a real browser, with a simulated machine in the place of tape.</summary>
public sealed class BenchScreenTests(Chromium chromium)
{
    /// <summary>A short check signal: a whole one takes a minute to simulate and tells a browser nothing more.</summary>
    private static string Capture(Visit visit, string name)
    {
        var sheet = BenchSheetMaker.Make(new BenchSheetRequest { Parts = ["level", "silence", "stairs-315", "sweep-minus20-both"] });
        var folder = Directory.GetDirectories(Path.Combine(visit.Served.Folder, "bench")).Order().Last();
        // What the page made is replaced by the short one, as a sheet of one's own choice would be.
        sheet.Save(Path.Combine(folder, BenchSheet.FileName), replace: true);
        var send = Path.Combine(visit.Desk, "send.wav");
        using (
            var writer = AudioFiles.AudioWriter.Create(
                send,
                new AudioFiles.AudioFormat(sheet.SampleRateHz, sheet.ChannelCount, AudioFiles.SampleEncoding.Pcm24)
            )
        )
        {
            var channels = BenchSignal.Render(sheet);
            var interleaved = new float[channels.Length * channels[0].Length];
            for (var i = 0; i < interleaved.Length; i++)
                interleaved[i] = channels[i % channels.Length][i / channels.Length];
            writer.Write(interleaved);
            writer.Complete();
        }
        var capture = Path.Combine(visit.Desk, name);
        TestMachine.Print(send, capture);
        return capture;
    }

    [Fact]
    public async Task From_a_check_signal_to_a_report_and_a_comparison()
    {
        var studio = Directory.CreateTempSubdirectory("offtape-web-").FullName;
        SaveSitting(studio, "1 before", "aaaa2222", new(2026, 3, 2, 10, 0, 0, TimeSpan.Zero), trebleHz: 14_000, hum: -70, wobble: 0.1);
        await using var visit = await Visit.Begin(chromium, folder: studio);
        var (served, window, page) = visit;

        await window.Go("/bench");
        await Measure(visit, "back <1>.wav");
        await window.IsUsableByAll("bench report");
        await window.Picture("bench-4-report");

        // What is read on the page is what stands in the file.
        var written = Directory.GetFiles(served.Folder, "bench.json", SearchOption.AllDirectories);
        var report = BenchReport.Load(written.Single(f => !f.Contains("1 before", StringComparison.Ordinal)));
        var noise = report.Find("signalToNoiseAWeighted", 1)!;
        Assert.Contains(
            ReadingFigures.Value(noise),
            await page.Locator("table.bench-figures").First.InnerTextAsync(),
            StringComparison.Ordinal
        );
        Assert.Contains(
            report.Diagnosis!.Summary,
            await page.Locator("section[aria-labelledby=diagnosis]").InnerTextAsync(),
            StringComparison.Ordinal
        );
        await page.GetByText("with how each was read").ClickAsync();
        await page.Locator(".bench-how").First.WaitForAsync();

        // Held against a sitting of the same machine that was there already.
        await page.GetByRole(AriaRole.Link, new() { NameRegex = new("Compare with") }).ClickAsync();
        await window.Heading("over time").WaitForAsync();
        await page.Locator("svg.plot").First.WaitForAsync(new LocatorWaitForOptions { State = WaitForSelectorState.Attached });
        await window.IsUsableByAll("bench comparison");
        await window.Picture("bench-5-compare");
        await window.Go("/bench");
        Assert.Equal(2, await page.Locator("table.bench-figures tbody tr").CountAsync());
        await page.GetByRole(AriaRole.Checkbox).First.CheckAsync();
        Assert.True(await window.Button("Compare what is chosen").IsDisabledAsync());
        await page.GetByRole(AriaRole.Checkbox).Nth(1).CheckAsync();
        await window.IsUsableByAll("bench list");
        await window.Picture("bench-6-list");
        await window.Button("Compare what is chosen").ClickAsync();
        await window.Heading("over time").WaitForAsync();
        window.HadNoErrors();
    }

    [Fact]
    public async Task A_recording_without_the_check_signal_is_said_and_nothing_is_stated_by_keyboard_alone()
    {
        await using var visit = await Visit.Begin(chromium, width: 390, height: 844);
        var (_, window, page) = visit;
        await window.Go("/bench");
        await window.IsUsableByAll("bench without a machine");
        await window.Picture("bench-1-empty");
        await page.SetViewportSizeAsync(390, 844);
        await Press(page, "Measure a machine");
        await window.IsAt("bench");
        await page.GetByLabel("How the recording is taken").FocusAsync();
        await page.Keyboard.TypeAsync("rew");
        await page.Keyboard.PressAsync("Tab");
        var wrong = TestMachine.WriteSources(visit.Desk)[0];
        var nothing = Path.Combine(visit.Desk, "notes.txt");
        await File.WriteAllTextAsync(nothing, "not a sound", TestContext.Current.CancellationToken);
        await window.Drop("Add recordings", wrong, nothing);
        await page.Locator(".arriving .bad").WaitForAsync();
        await page.Locator("table.captures tbody tr").WaitForAsync();
        await Press(page, "Read it");
        await page.GetByText("The check signal is not in this capture").First.WaitForAsync(new() { Timeout = 120_000 });
        await page.GetByText("too little was read to call it healthy").WaitForAsync();
        Assert.Equal(0, await page.Locator("svg.plot").CountAsync());
        await window.IsUsableByAll("bench without a check signal");
        await window.Picture("bench-7-nothing");
        await window.Go("/bench/nothere");
        await window.Heading("not in the studio").WaitForAsync();
        await window.Go("/bench/compare/nothere");
        await window.Heading("nothing to compare").WaitForAsync();
        window.HadNoErrors();
    }

    [Fact]
    public async Task What_a_worn_machine_may_have_is_told_with_its_cautions_and_what_changed_since()
    {
        var studio = Directory.CreateTempSubdirectory("offtape-web-").FullName;
        SaveSitting(studio, "1 good", "aaaa2222", new(2026, 3, 2, 10, 0, 0, TimeSpan.Zero), trebleHz: 14_000, hum: -70, wobble: 0.1);
        SaveSitting(studio, "2 worn", "bbbb3333", new(2026, 9, 5, 10, 0, 0, TimeSpan.Zero), trebleHz: 8000, hum: -42, wobble: 0.45);
        await using var visit = await Visit.Begin(chromium, folder: studio);
        var (served, window, page) = visit;
        await window.Go("/bench/bbbb3333");
        var told = page.Locator("section[aria-labelledby=diagnosis]");
        Assert.Contains("dirt on the heads", await told.InnerTextAsync(), StringComparison.OrdinalIgnoreCase);
        // A caution stands within the step that needs it.
        Assert.Contains(
            "Alcohol burns",
            await told.Locator("li", new() { HasTextString = "Clean heads, guides" }).First.InnerTextAsync(),
            StringComparison.Ordinal
        );
        await told.GetByText("Or it may be").First.ClickAsync();
        await window.IsUsableByAll("bench of a worn machine");
        await window.Picture("bench-8-worn");
        await page.GetByRole(AriaRole.Link, new() { NameRegex = new("Compare with") }).ClickAsync();
        await window.Heading("over time").WaitForAsync();
        var changed = page.Locator("section[aria-labelledby=changed]");
        Assert.Contains("▲", await changed.InnerTextAsync(), StringComparison.Ordinal);
        Assert.Contains("−6000", await changed.InnerTextAsync(), StringComparison.Ordinal);
        await window.IsUsableByAll("bench comparison with changes");
        await window.Picture("bench-9-changes");
        window.HadNoErrors();
    }

    private static void SaveSitting(string studio, string folder, string id, DateTimeOffset day, double trebleHz, double hum, double wobble)
    {
        var sitting = Path.Combine(studio, "bench", folder);
        Directory.CreateDirectory(Path.Combine(sitting, "report"));
        File.WriteAllText(
            Path.Combine(sitting, "bench-plan.json"),
            $$"""{"id":"{{id}}","madeAt":"{{day:O}}","machine":"deck in the corner","how":"rewound","speedCmPerSecond":4.7625}"""
        );
        Reading Read(string quantity, double value, double uncertainty, string unit, int? channel, string at) =>
            new()
            {
                Quantity = quantity,
                Channel = channel,
                Condition = at,
                Value = value,
                Uncertainty = uncertainty,
                Unit = unit,
                Method = "by hand",
            };
        Reading[] readings =
        [
            Read("weightedTwoSigma", wobble, 0.001, "%", null, ""),
            Read("trebleLimit", trebleHz, 30, "Hz", 1, "−20 dB"),
            Read("trebleLimit", trebleHz, 30, "Hz", 2, "−20 dB"),
            Read("hum", hum, 0.1, "dB", 1, "recorded silence"),
            Read("balance", 0.2, 0.01, "dB", null, "1 kHz, 0 dB"),
        ];
        new BenchReport
        {
            Machine = "deck in the corner",
            How = HowTaken.Rewound,
            Date = $"{day:yyyy-MM-dd}",
            Capture = "a.wav",
            SheetId = "bench-1",
            OperatingLevelDbfs = -12,
            Facts = new ReportFacts { SpeedCmPerSecond = 4.7625 },
            Runs = [],
            Parts = [],
            Readings = readings,
            Curves =
            [
                .. new[] { 1, 2 }.Select(c => new ReadingCurve
                {
                    Quantity = "response",
                    Channel = c,
                    Condition = "−20 dB",
                    XUnit = "Hz",
                    YUnit = "dB",
                    X = [31.5, 1000, trebleHz / 2, trebleHz, 1.3 * trebleHz],
                    Y = [-2, 0, -0.5, -3, -9],
                    Method = "by hand",
                }),
            ],
            Notices = [],
            Diagnosis = Diagnosing.Of(readings, []),
            Summary = "Dull above 8.0 kHz.",
        }.Save(Path.Combine(sitting, "report", BenchReport.FileName));
    }

    private static async Task Measure(Visit visit, string name)
    {
        var (served, window, page) = visit;
        await window.Button("Measure a machine").ClickAsync();
        await window.IsAt("bench");
        await page.GetByLabel("Machine", new() { Exact = true }).FillAsync("deck in the corner");
        await page.GetByLabel("Machine", new() { Exact = true }).BlurAsync();
        await page.GetByLabel("How the recording is taken").SelectOptionAsync("Rewound");
        await page.GetByRole(AriaRole.Combobox, new() { Name = "Speed" }).SelectOptionAsync("4.7625");
        await window.Button("Make the check signal").ClickAsync();
        await window.Heading("At the machine").WaitForAsync(new() { Timeout = 120_000 });
        Assert.Contains("headphones off", await page.Locator(".bench-caution").InnerTextAsync(), StringComparison.Ordinal);
        await page.GetByText("Line up first").ClickAsync();
        await window.IsUsableByAll("bench");
        await window.Picture("bench-2-signal");
        var download = await page.RunAndWaitForDownloadAsync(() => page.GetByText("Save the line-up tone").ClickAsync());
        Assert.Equal("lineup.wav", download.SuggestedFilename);
        await window.Drop("Add recordings", Capture(visit, name));
        await page.Locator("table.captures tbody tr").WaitForAsync();

        // Stopped on the way: said so, and nothing half-made stays.
        var before = Directory.GetFiles(served.Folder, "bench.json", SearchOption.AllDirectories);
        await window.Button("Read it").ClickAsync();
        await page.Locator("footer.job").GetByRole(AriaRole.Button, new() { Name = "stop" }).ClickAsync();
        await page.GetByText("Nothing half-made was left behind").First.WaitForAsync();
        Assert.Equal(before, Directory.GetFiles(served.Folder, "bench.json", SearchOption.AllDirectories));
        await window.Button("Read it").ClickAsync();
        await page.Locator("#glance").WaitForAsync(new() { Timeout = 180_000 });
    }

    private static async Task Press(IPage page, string name)
    {
        await page.GetByRole(AriaRole.Button, new() { Name = name, Exact = true }).FocusAsync();
        await page.Keyboard.PressAsync("Enter");
    }
}
