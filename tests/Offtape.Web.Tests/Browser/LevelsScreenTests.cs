using Microsoft.Playwright;
using Offtape.Bench;
using Offtape.Testing.Benches;

namespace Offtape.Web.Tests.Browser;

/// <summary>Levels in a real browser: interface to tape as one scale, and how loud to send a sound.</summary>
public sealed class LevelsScreenTests(Chromium chromium)
{
    /// <summary>
    /// 0.316 V are 0 on a −10 dBV meter, which is −7.78 dBu: 25.8 dB under 18 dBu. 250 nWb/m stand 1.94 dB over 200: operating level is 23.8 dB under
    /// full scale. 10 dB taken off on the way raise what is sent by as much.
    /// </summary>
    [Fact]
    public async Task Interface_to_tape_is_one_scale_with_its_room_both_ways()
    {
        await using var visit = await Visit.Begin(chromium);
        var (_, window, page) = visit;
        await page.GetByRole(AriaRole.Link, new() { Name = "Levels", Exact = true }).ClickAsync();
        await page.Locator("h1:focus").WaitForAsync();
        await page.GetByText("There is none yet").WaitForAsync();
        await window.IsUsableByAll("levels, empty");
        await window.Button("Work out the scale").ClickAsync();
        var alert = page.GetByRole(AriaRole.Alert);
        await alert.Filter(new() { HasTextString = "needs \"The interface gives at full scale\"" }).WaitForAsync();

        await page.GetByLabel("The interface gives at full scale").FillAsync("18");
        await page.GetByLabel("The machine's meter says 0 at").FillAsync("-10dBV");
        await page.Keyboard.PressAsync("Enter");
        await alert.Filter(new() { HasTextString = "wants a level with its unit, as 4dBu" }).WaitForAsync();
        await page.GetByLabel("The interface gives at full scale").FillAsync("18dBu");
        await page.Keyboard.PressAsync("Enter");
        async Task<string[]> Row(string name) =>
            [
                .. await page.Locator("section[aria-labelledby=whole] tbody tr", new() { HasTextString = name })
                    .Locator("td")
                    .AllInnerTextsAsync(),
            ];
        await page.GetByText("Headroom there: 23.8 dB").WaitForAsync();
        Assert.Equal(["−25.8", "−7.8", "316 mV", "0.0", "200", "−25.8"], await Row("0 on the machine's meter"));
        Assert.Equal("250", (await Row("operating level"))[4]);
        Assert.Contains("11.78 dB apart", await page.Locator("section[aria-labelledby=whole]").InnerTextAsync(), StringComparison.Ordinal);

        // All of the chain; each further level that is known stands in the table.
        await page.GetByLabel("Taken off on the way there").FillAsync("10");
        await page.GetByLabel("The machine's input takes at most").FillAsync("-4dBu");
        await page.GetByLabel("The tape gives 3 % third harmonic at").FillAsync("500");
        await page.GetByLabel("One more level to show").FillAsync("-12");
        await page.GetByLabel("One more level to show").BlurAsync();
        await page.GetByText("up to the machine's input").WaitForAsync();
        Assert.Equal("−15.8", (await Row("0 on the machine's meter"))[0]);
        Assert.Equal("−12.0", (await Row("asked for"))[0]);
        Assert.Equal("500", (await Row("3 % third harmonic"))[4]);
        // An attenuator that takes too much: full scale is over before operating level is reached.
        await page.GetByLabel("Taken off on the way there").FillAsync("40");
        await page.GetByLabel("Taken off on the way there").BlurAsync();
        await page.Locator(".bad", new() { HasTextString = "No headroom there" }).WaitForAsync();
        await window.IsUsableByAll("levels");
        await window.Picture("levels-1-scale");

        // What was typed is there the next time.
        await window.Go("/levels");
        Assert.Equal("18dBu", await page.GetByLabel("The interface gives at full scale").InputValueAsync());
        await page.GetByText("No headroom there").WaitForAsync();
        window.HadNoErrors();
    }

    /// <summary>A sine of −6.02 dBFS comes out at −10, 0 and +6 dB when it is sent at −22, −12 and −6 dBFS; the noise of 50 dB lies 40, 50, 56 dB under it.</summary>
    [Fact]
    public async Task A_sound_of_the_studio_or_from_elsewhere_is_told_how_loud_to_send_it()
    {
        var studio = Directory.CreateTempSubdirectory("offtape-web-").FullName;
        SaveReport(studio, "1 even", "aaaa2222", StraightMachine.Report(channelCount: 2), day: 2);
        // The latest report, chosen first: full scale is 3 dB over operating level, and the loudest send would be 3 dB over that.
        SaveReport(studio, "2 loud", "bbbb3333", StraightMachine.Report(operatingLevelDbfs: -3), day: 5);
        var sources = Directory.CreateDirectory(Path.Combine(studio, "passes", "Lantern Quay", "sources")).FullName;
        StraightMachine.Sine(Path.Combine(sources, "low pulse.wav"), 0.5);
        await using var visit = await Visit.Begin(chromium, folder: studio);
        var (served, window, page) = visit;
        await window.Go("/levels");
        var section = page.Locator("section[aria-labelledby=sound]");
        await page.GetByLabel("A sound of this studio").SelectOptionAsync(new SelectOptionValue { Label = "low pulse.wav" });
        await Assertions.Expect(window.Button("Say how loud to send it")).ToBeEnabledAsync();
        await window.Button("Say how loud to send it").FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        await section.GetByText("over: the send would peak 3.0 dB over full scale").WaitForAsync();

        // Another report: the sound is not measured again, and the answer follows.
        await page.GetByLabel("Report of the machine")
            .SelectOptionAsync(new SelectOptionValue { Label = "deck in the corner, 2 March 2026, rewound" });
        await section.GetByText("−22.0 dBFS").WaitForAsync();
        var rows = section.Locator("tbody tr");
        Assert.Equal(
            ["−10", "−22.0 dBFS", "not known", "not known", "40.0 dB", "nowhere"],
            await rows.Nth(0).Locator("td").AllInnerTextsAsync()
        );
        Assert.Equal(["−12.0 dBFS", "−6.0 dBFS"], [await Cell(1, 1), await Cell(2, 1)]);
        Assert.Equal(["50.0 dB", "56.0 dB"], [await Cell(1, 4), await Cell(2, 4)]);
        Assert.Equal(0, await section.Locator(".warn").CountAsync());
        await page.GetByLabel("Its channel").SelectOptionAsync("2");
        await section.GetByText("What the report cannot tell").ClickAsync();
        await section.GetByText("the report has no staircase").First.WaitForAsync();
        await window.IsUsableByAll("levels for a sound");
        await window.Picture("levels-2-sound");

        // One that is shown, and not kept: half as loud it needs no other send, only more gain.
        var shown = StraightMachine.Sine(Path.Combine(visit.Desk, "marimba <b>.wav"), 0.25);
        await page.GetByLabel("Or a sound from elsewhere").SetInputFilesAsync(shown);
        await section.GetByText("Peak −12.0 dBFS").WaitForAsync();
        Assert.Equal("marimba <b>.wav", await section.Locator("h3").InnerTextAsync());
        Assert.Equal("−22.0 dBFS", await Cell(0, 1));
        Assert.Empty(Directory.GetFiles(Path.Combine(served.Folder, ".offtape", "asked")));
        await page.GetByLabel("Or a sound from elsewhere").SetInputFilesAsync(visit.Lay("notes.txt", "not a sound"));
        await section
            .GetByRole(AriaRole.Alert)
            .Filter(new() { HasTextString = "Cannot read \"notes.txt\": it is not an audio file" })
            .WaitForAsync();
        Assert.Equal(0, await rows.CountAsync());
        window.HadNoErrors();

        Task<string> Cell(int row, int column) => rows.Nth(row).Locator("td").Nth(column).InnerTextAsync();
    }

    private static void SaveReport(string studio, string folder, string id, BenchReport report, int day)
    {
        var sitting = Directory.CreateDirectory(Path.Combine(studio, "bench", folder, "report")).Parent!.FullName;
        File.WriteAllText(
            Path.Combine(sitting, "bench-plan.json"),
            $$"""{"id":"{{id}}","madeAt":"2026-03-0{{day}}T10:00:00+00:00","machine":"{{StraightMachine.Name}}","how":"rewound"}"""
        );
        report.Save(Path.Combine(sitting, "report", BenchReport.FileName));
    }
}
