using System.Text;
using Microsoft.Playwright;
using Offtape.Base;
using Offtape.Passes;
using Offtape.Studio;
using Offtape.Tape;
using Offtape.Web.Taping;

namespace Offtape.Web.Tests.Browser;

/// <summary>The shelf of tapes in a real browser: what stands where, what is free, and where sounds fit.</summary>
public sealed class TapesScreenTests(Chromium chromium)
{
    [Fact]
    public async Task From_an_empty_shelf_to_places_for_the_sounds_of_a_pass_and_a_box_card()
    {
        await using var visit = await Visit.Begin(chromium);
        var (served, window, page) = visit;
        await window.Go("/tapes");
        await page.GetByText("The shelf is empty").WaitForAsync();
        // Looking alone makes no database.
        Assert.False(File.Exists(Path.Combine(served.Folder, StudioStore.FileName)));
        await window.IsUsableByAll("tapes, empty");
        await window.Picture("tapes-1-empty");

        const string name = "LQ-1 <b>&\"/ä";
        await page.GetByLabel("Name, as its box says").FillAsync(name);
        await page.GetByLabel("Length", new() { Exact = true }).FillAsync("C60");
        await page.GetByLabel("How its tracks lie").SelectOptionAsync("cassette-stereo");
        await page.GetByLabel("Type, as").FillAsync("I");
        await window.Button("Put it on the shelf").FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        await page.GetByRole(AriaRole.Link, new() { Name = name }).ClickAsync();
        await window.Heading(name).WaitForAsync();

        // The old mix, and a part of it recorded over.
        await Note(page, "A", "0", "10:00", "old mix");
        await Note(page, "A", "2:00", "3:30", "bowed glass");
        await Note(page, "B", "0:05", "29:00", "low pulse");
        using (var store = StudioStore.OpenExisting(served.Folder))
        {
            var kept = new TapeShelf(store).Find(name);
            Assert.Equal(3, kept.Sides.Sum(s => s.Stretches.Count));
            // 29 min at 4.7625 cm/s (1⅞ in/s, exactly 4.7625 cm): 82.8675 m.
            Assert.Equal(29 * 60 * 0.047625, kept.Sides[1].Stretches[0].ToMetres, 1e-9);
        }
        var stands = page.Locator("section[aria-labelledby=side-A] tbody tr");
        Assert.Equal(3, await stands.CountAsync());
        Assert.Equal(["bowed glass", "2:00", "3:30", "2"], await stands.Nth(1).Locator("th, td").AllInnerTextsAsync());
        Assert.Contains(
            "cannot be printed backwards",
            await page.Locator("section[aria-labelledby=turned]").InnerTextAsync(),
            StringComparison.Ordinal
        );
        await page.GetByText("at either end stay clear").First.ScrollIntoViewIfNeededAsync();
        await window.IsUsableByAll("one tape");
        await window.Picture("tapes-2-one");
        Assert.Equal("%PDF", await Saved(page, "Save the box card, PDF", 4));
        Assert.Equal("<svg", await Saved(page, "Save the box card, SVG", 4));

        // Side B has half a minute of thirty: the first page says so.
        await window.Go("/");
        await page.GetByText("A tape nearly full: side B").WaitForAsync();
        await window.IsUsableByAll("what now, with a tape nearly full");
        await window.Picture("tapes-3-now");

        await window.Drop("Clean sounds, to be printed", TestMachine.WriteSources(visit.Desk));
        await page.Locator("table.sounds tbody tr").First.WaitForAsync();
        await page.GetByLabel("Tape", new() { Exact = true }).FillAsync(name);
        await page.GetByLabel("Tape", new() { Exact = true }).BlurAsync();
        await page.GetByLabel("Its side").FillAsync("A");
        await page.GetByLabel("The send begins at").FillAsync("630");
        await page.GetByLabel("The send begins at").BlurAsync();
        await Assertions.Expect(page.GetByLabel("The send begins at")).ToHaveValueAsync("10:30");
        Assert.Contains(
            "\"startSeconds\": 630",
            File.ReadAllText(Directory.GetFiles(served.Folder, "plan.json", SearchOption.AllDirectories).Single()),
            StringComparison.Ordinal
        );

        await window.Go("/tapes");
        await window.Button("Find places").ClickAsync();
        await page.GetByText("without recording over anything").WaitForAsync();
        var places = page.Locator("section[aria-labelledby=fit] tbody tr");
        var (count, sources) = (await places.CountAsync(), Directory.GetFiles(served.Folder, "*.wav", SearchOption.AllDirectories).Length);
        Assert.Equal(sources, count);
        await window.IsUsableByAll("tapes");
        await window.Picture("tapes-4-shelf");
        window.HadNoErrors();
    }

    [Fact]
    public async Task The_place_typed_for_a_pass_stands_on_the_ruler_once_its_send_is_made()
    {
        var studio = Directory.CreateTempSubdirectory("offtape-web-").FullName;
        using (var store = StudioStore.Open(studio))
            new TapeShelf(store).Add(
                new TapeEntry("LQ-3")
                {
                    Medium = "cassette",
                    Format = TrackFormatNames.Find("cassette-stereo"),
                    LengthMetres = 85.7,
                },
                replace: false
            );
        await using var visit = await Visit.Begin(chromium, folder: studio);
        var (_, window, page) = visit;
        await window.Drop("Clean sounds", TestMachine.WriteSources(visit.Desk)[2]);
        await window.IsAt("pass");
        await page.Locator("table.sounds tbody tr").WaitForAsync();
        async Task Type(string label, string text)
        {
            await page.GetByLabel(label, new() { Exact = true }).FillAsync(text);
            await page.GetByLabel(label, new() { Exact = true }).BlurAsync();
        }
        await Type("Tape", "LQ-3");
        await Type("Its side", "B");
        await Type("The send begins at", "12:30");
        await Assertions.Expect(page.GetByLabel("The send begins at")).ToHaveValueAsync("12:30");
        await page.GetByRole(AriaRole.Combobox, new() { Name = "Speed" }).SelectOptionAsync("4.7625");
        await window.Button("Make the send").ClickAsync();
        await window.Heading("At the machine").WaitForAsync();

        await window.Go("/tapes/one?name=LQ-3");
        // From the sheet, not from the page: what the send needs of the tape at that speed.
        var sheet = PassSheet.Load(Directory.GetFiles(studio, "pass.json", SearchOption.AllDirectories).Single());
        var row = page.Locator("section[aria-labelledby=side-B] tbody tr");
        await row.WaitForAsync();
        var cells = await row.Locator("th, td").AllInnerTextsAsync();
        Assert.Equal("12:30", cells[1]);
        // Clocks are told to the second.
        Assert.Equal(750 + sheet.LengthSeconds, TypedTime.Parse(cells[2]), 0.51);
        Assert.Equal(0, await page.Locator("section[aria-labelledby=side-A] tbody tr").CountAsync());
        var ruler = page.Locator("section[aria-labelledby=side-B] .ruler svg");
        var (whole, taken) = ((await ruler.BoundingBoxAsync())!, (await ruler.Locator(".taken").BoundingBoxAsync())!);
        // 85.7 m at 4.7625 cm/s: the ruler is to scale, to a pixel.
        Assert.Equal(750 * 0.047625 / 85.7 * whole.Width, taken.X - whole.X, 1.0);
        window.HadNoErrors();
    }

    [Fact]
    public async Task A_length_that_nobody_understands_and_sounds_that_fit_nowhere_are_told()
    {
        var studio = Directory.CreateTempSubdirectory("offtape-web-").FullName;
        using (var store = StudioStore.Open(studio))
        {
            new TapeShelf(store).Add(
                new TapeEntry("LQ-7")
                {
                    Medium = "quarter-inch",
                    Format = TrackFormatNames.Find("two-track"),
                    LengthMetres = 540,
                },
                replace: false
            );
            new TapeShelf(store).Use("LQ-7", "A", 0, 600, new TapeSpeed(19.05), [2], null, "brushed kit");
        }
        await using var visit = await Visit.Begin(chromium, folder: studio, width: 390);
        var (served, window, page) = visit;
        await window.Go("/tapes");
        var typed = page.GetByLabel("One sound a line");
        await typed.FillAsync("marimba 3:20\nlow pulse 3:99");
        await window.Button("Find places").ClickAsync();
        var told = page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "Line 2" });
        await told.WaitForAsync();
        Assert.Contains("low pulse 3:99", await told.InnerTextAsync(), StringComparison.Ordinal);

        // 540 m at 19.05 cm/s play 47 min 14 s: an hour fits nowhere.
        await typed.FillAsync("marimba 3:20\nlow pulse 60 min");
        await window.Button("Find places").ClickAsync();
        await page.GetByText("1 sound of 2 finds no free stretch").WaitForAsync();
        var rows = page.Locator("section[aria-labelledby=fit] tbody tr");
        Assert.Contains("fits nowhere", await rows.Nth(1).InnerTextAsync(), StringComparison.Ordinal);
        // Behind the ten minutes that stand on track 2, and the gap of 2 s beside them.
        Assert.Contains("10:02", await rows.Nth(0).InnerTextAsync(), StringComparison.Ordinal);
        await window.IsUsableByAll("tapes, nowhere");

        // A tape whose length is none, and one that is there already: nothing is put on the shelf.
        await window.Button("Add a tape").ClickAsync();
        await page.GetByLabel("Name, as its box says").FillAsync("LQ-8");
        await page.GetByLabel("Length", new() { Exact = true }).FillAsync("long");
        await window.Button("Put it on the shelf").ClickAsync();
        await page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "\"long\" is no length of tape" }).WaitForAsync();
        await page.GetByLabel("Name, as its box says").FillAsync("LQ-7");
        await page.GetByLabel("Length", new() { Exact = true }).FillAsync("100m");
        await window.Button("Put it on the shelf").ClickAsync();
        await page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "There is a tape LQ-7 already" }).WaitForAsync();
        using (var store = StudioStore.OpenExisting(served.Folder))
            Assert.Equal(540, Assert.Single(new TapeShelf(store).All()).LengthMetres);
        await window.Picture("tapes-6-nowhere");

        // A stretch beyond the end of the side, and tracks that are none.
        await window.Go("/tapes/one?name=LQ-7");
        await page.GetByLabel("To", new() { Exact = true }).FillAsync("1:30:00");
        await window.Button("Note it").ClickAsync();
        await page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "plays 47 min" }).WaitForAsync();
        await page.GetByLabel("To", new() { Exact = true }).FillAsync("soon");
        await window.Button("Note it").ClickAsync();
        await page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "\"soon\" is no length of time" }).WaitForAsync();
        await page.GetByLabel("Length", new() { Exact = true }).FillAsync("550m");
        await window.Button("Keep the change").ClickAsync();
        await page.GetByText("The change is kept").WaitForAsync();
        await window.IsUsableByAll("one tape, two tracks");
        await window.Picture("tapes-7-tracks");

        await window.Go("/tapes/one?name=nothere");
        await window.Heading("not on the shelf").WaitForAsync();
        var answer = await page.APIRequest.GetAsync($"{served.Server.Address}/sheet/box.pdf?name=../studio.db");
        Assert.Equal(404, answer.Status);
        window.HadNoErrors();
    }

    private static async Task Note(IPage page, string side, string from, string to, string what)
    {
        await page.GetByRole(AriaRole.Combobox, new() { Name = "Side", Exact = true }).SelectOptionAsync(side);
        await page.GetByLabel("From", new() { Exact = true }).FillAsync(from);
        await page.GetByLabel("To", new() { Exact = true }).FillAsync(to);
        await page.GetByLabel("What stands there").FillAsync(what);
        await page.GetByRole(AriaRole.Button, new() { Name = "Note it" }).ClickAsync();
        await page.GetByText($"Noted on side {side}: {what}").WaitForAsync();
    }

    private static async Task<string> Saved(IPage page, string link, int count)
    {
        var download = await page.RunAndWaitForDownloadAsync(() => page.GetByText(link).ClickAsync());
        return Encoding.ASCII.GetString(File.ReadAllBytes(await download.PathAsync())[..count]);
    }
}
