using System.Text;
using Microsoft.Playwright;
using Offtape.Studio;

namespace Offtape.Web.Tests.Browser;

/// <summary>Kit and Patch in a real browser: from invented offers to baskets and a viewing sheet, from sockets to a drawing and a page to print.</summary>
public sealed class KitAndPatchTests(Chromium chromium)
{
    [Fact]
    public async Task From_offers_to_baskets_and_a_viewing_sheet()
    {
        await using var visit = await Visit.Begin(chromium);
        var (served, window, page) = visit;
        await window.Go("/kit");
        Assert.True(await window.Button("Find baskets").IsDisabledAsync());
        await window.IsUsableByAll("kit without offers");

        var offers = Path.Combine(visit.Desk, "what is for sale.csv");
        File.WriteAllText(offers, KitTemplates.Offers);
        await window.Drop("A table of offers", offers);
        await page.GetByText("5 machines").WaitForAsync();

        // One more is typed, cheaper than all and with a line input.
        await page.GetByLabel("What it is called").FillAsync("deck <b>from next door</b>");
        await page.GetByLabel("Price").FillAsync("20");
        await page.GetByLabel("Sockets, with ; between").FillAsync("line-in:rca:2; line-out:rca:2");
        await page.GetByLabel("Features, as").FillAsync("bias=I/II motor=dc off-tape pitch");
        await page.GetByLabel("Part, or mains voltage").FillAsync("230");
        await window.Button("add this offer").ClickAsync();
        await page.GetByText("6 machines").WaitForAsync();

        // The whole of it by keyboard: the money, then the one main action.
        await page.GetByLabel("Money").FocusAsync();
        await page.Keyboard.PressAsync("Control+a");
        await page.Keyboard.TypeAsync("150");
        await page.Keyboard.PressAsync("Tab");
        await window.Button("Find baskets").FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        await page.Locator(".kit-basket").First.WaitForAsync(new LocatorWaitForOptions { Timeout = 120_000 });

        // What the page shows is what the search finds of the same files.
        var request = KitRequestFile.Read(Path.Combine(served.Folder, "kit", "request.json"));
        Assert.Equal(150, request.Money);
        var kept = OfferTable.Read(Path.Combine(served.Folder, "kit", "offers.csv"), request.Parts, []);
        var found = KitSearch.Find(request, kept, 3, TestContext.Current.CancellationToken);
        Assert.Equal(found.Baskets.Count, await page.Locator(".kit-basket").CountAsync());
        var first = await page.Locator(".kit-basket").First.InnerTextAsync();
        Assert.Contains(found.Baskets[0].Machine.Title, first, StringComparison.Ordinal);
        Assert.Contains($"{found.Baskets[0].Total:0.00}", first, StringComparison.Ordinal);
        Assert.Contains(found.Baskets[0].Lift, first, StringComparison.Ordinal);
        await window.IsUsableByAll("kit with baskets");
        await window.Picture("kit");

        await Saved(page, page.GetByText("Save the viewing sheet").First);
        window.HadNoErrors();
    }

    [Fact]
    public async Task A_broken_table_is_told_with_row_and_column_and_nothing_of_it_is_kept()
    {
        await using var visit = await Visit.Begin(chromium);
        var (served, window, page) = visit;
        await window.Go("/kit");
        await window.Button("Take the invented ones of Lantern Quay").ClickAsync();
        await page.GetByText("5 machines").WaitForAsync();
        var before = File.ReadAllText(Path.Combine(served.Folder, "kit", "offers.csv"));

        var broken = Path.Combine(visit.Desk, "broken.csv");
        File.WriteAllText(broken, "title,kind,price\ndeck,cassette-deck,forty\n");
        await window.Drop("A table of offers", broken);
        var told = await page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "broken.csv" }).InnerTextAsync();
        Assert.Contains("row 2", told, StringComparison.Ordinal);
        Assert.Contains("price", told, StringComparison.Ordinal);
        Assert.Contains("stay", told, StringComparison.Ordinal);
        Assert.Equal(before, File.ReadAllText(Path.Combine(served.Folder, "kit", "offers.csv")));
        await window.IsUsableByAll("kit with a broken table");

        // Too little money: said, with the reasons, and what is out of reach.
        await page.GetByLabel("Money").FillAsync("1");
        await page.GetByLabel("Money").BlurAsync();
        await window.Button("Find baskets").ClickAsync();
        await page.GetByText("none makes a basket").WaitForAsync(new LocatorWaitForOptions { Timeout = 120_000 });
        await page.GetByText("Out of reach by").WaitForAsync();
    }

    [Fact]
    public async Task From_sockets_to_a_drawing_and_a_page_to_print()
    {
        await using var visit = await Visit.Begin(chromium);
        var (served, window, page) = visit;
        await window.Go("/patch");
        await page.GetByText("What stands below is invented").WaitForAsync();
        // Full scale of 18 dBu against −10 dBV: 25.8 dB (18 + 7.78, by their definitions).
        await page.GetByText("−25.8").First.WaitForAsync();
        await window.Button("Work out the patch").ClickAsync();
        await page.Locator(".kit-drawing svg")
            .First.WaitForAsync(new LocatorWaitForOptions { State = WaitForSelectorState.Attached, Timeout = 120_000 });
        var plan = PatchPlanner.Plan(RigFile.Read(Path.Combine(served.Folder, "patch", "rig.json")));
        var text = await page.Locator(".kit-answer").InnerTextAsync();
        Assert.Contains(PatchSheet.Lead(plan), text, StringComparison.Ordinal);
        Assert.All(plan.Shopping, s => Assert.Contains(s.Type.Words, text, StringComparison.Ordinal));
        Assert.All(plan.SwitchingOn, s => Assert.Contains(s, text, StringComparison.Ordinal));
        Assert.All(plan.Hazards, h => Assert.Contains(h.Reason, text, StringComparison.Ordinal));
        await window.IsUsableByAll("patch");
        await window.Picture("patch");
        await Saved(page, page.GetByText("Save patch.pdf"));

        // What was put in is there the next time.
        await page.GetByLabel("Name of the machine").FillAsync("deck in the corner");
        await page.GetByLabel("Name of the machine").BlurAsync();
        await page.GetByText("The way there and back").WaitForAsync(new() { State = WaitForSelectorState.Detached });
        await window.Go("/patch");
        Assert.Equal("deck in the corner", await page.GetByLabel("Name of the machine").InputValueAsync());
        window.HadNoErrors();
    }

    [Fact]
    public async Task Sockets_that_nobody_understands_and_too_few_of_them_are_told()
    {
        await using var visit = await Visit.Begin(chromium);
        var (served, window, page) = visit;
        await window.Go("/patch");
        var sockets = page.GetByLabel("Sockets, one group a line").Nth(1);
        await sockets.FillAsync("line-in:banana:2");
        await sockets.BlurAsync();
        await window.Button("Work out the patch").ClickAsync();
        await page.GetByRole(AriaRole.Alert).Filter(new() { HasTextString = "banana" }).WaitForAsync();

        await sockets.FillAsync("line-in:rca:8\nline-out:rca:8");
        await sockets.BlurAsync();
        await window.Button("Work out the patch").ClickAsync();
        await page.Locator(".kit-answer").WaitForAsync(new LocatorWaitForOptions { Timeout = 120_000 });
        Assert.Contains("Caution", await page.Locator(".kit-answer").InnerTextAsync(), StringComparison.Ordinal);
        await window.IsUsableByAll("patch with too few sockets");
        // A sheet of a machine that is not for sale.
        var answer = await page.APIRequest.GetAsync($"{served.Server.Address}/sheet/viewing/99");
        Assert.Equal(404, answer.Status);
    }

    private static async Task Saved(IPage page, ILocator link)
    {
        var download = await page.RunAndWaitForDownloadAsync(() => link.ClickAsync());
        var path = await download.PathAsync();
        Assert.Equal("%PDF", Encoding.ASCII.GetString(File.ReadAllBytes(path)[..4]));
    }
}
