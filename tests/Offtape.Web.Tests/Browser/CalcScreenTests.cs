using Microsoft.Playwright;
using Offtape.Studio;

namespace Offtape.Web.Tests.Browser;

/// <summary>Figures of tape in a real browser: each kind, with answers that are published or worked out by hand.</summary>
public sealed class CalcScreenTests(Chromium chromium)
{
    /// <summary>
    /// Owsinski, "The Mixing Engineer's Handbook": heads 1.875 in (47.625 mm) apart are 125 ms at 15 in/s and 250 ms at 7½, an eighth at 120 BPM. The
    /// rest is arithmetic: a C60 is 30 min at 4.7625 cm/s; two bars of four at 120 BPM are 4 s, 60 in at 15 in/s; 84 BPM ten per cent up are 92.4; half
    /// speed is an octave; ten equal noises are 10 dB over one; 1200 ft at 7½ in/s are 32 min, for 64 a minute is 2.
    /// </summary>
    private static readonly (string Name, (string Field, string Text)[] Typed, string[] Said)[] Asked =
    [
        ("gap", [("distance", "47,625"), ("speed", "15ips")], ["125 ms late", "delay = distance ÷ speed", "one head for both"]),
        (
            "time",
            [("tape", "C60"), ("speed", "9.525"), ("sides", "2")],
            ["15 min a side", "2 sides: 30 min", "no print should count on it"]
        ),
        ("speed", [("heard", "3156.3"), ("bpm", "100")], ["runs fast", "1.002", "100.2"]),
        ("loop", [("bars", "2"), ("bpm", "120"), ("speed", "15ips")], ["152.4 cm (60 in)", "cut away from the fingers"]),
        ("echo", [("distance", "47.625"), ("speed", "7.5ips 15ips"), ("bpm", "120"), ("note", "1/8 1/16")], ["250", "125", "none"]),
        ("pitch", [("bpm", "84"), ("to-bpm", "92.4"), ("range", "12")], ["+10", "reaches it"]),
        ("print", [("record", "7.5ips"), ("replay", "15ips")], ["+1200", "only the bench can tell"]),
        ("generations", [("count", "10"), ("noise", "−52")], ["−42", "not a measurement"]),
        ("cost", [("price", "64"), ("tape", "1200ft"), ("speed", "7.5ips")], ["2.0000", "spoilt takes"]),
    ];

    [Fact]
    public async Task Every_figure_is_worked_out_with_its_formula_and_what_to_mind()
    {
        await using var visit = await Visit.Begin(chromium);
        var (_, window, page) = visit;
        await page.GetByRole(AriaRole.Link, new() { Name = "Calc", Exact = true }).ClickAsync();
        await page.Locator("h1:focus").WaitForAsync();
        Assert.Equal(Calculations.All.Select(c => c.Title), await page.Locator("main li a").AllInnerTextsAsync());
        Assert.Equal(Calculations.All.Select(c => c.Name), Asked.Select(a => a.Name));
        await window.IsUsableByAll("figures");
        await window.Picture("calc-1-all");
        foreach (var (name, typed, said) in Asked)
        {
            var calculation = Calculations.Find(name)!;
            await page.GetByRole(AriaRole.Link, new() { Name = calculation.Title, Exact = true }).ClickAsync();
            await window.Heading(calculation.Title).WaitForAsync();
            foreach (var (field, text) in typed)
                await Field(page, calculation, field).FillAsync(text);
            // As a form is sent by keyboard: from the last field.
            await page.Keyboard.PressAsync("Enter");
            var answer = page.Locator("section[aria-labelledby=answer]");
            await answer.WaitForAsync();
            var told = await answer.InnerTextAsync();
            Assert.All(said, s => Assert.Contains(s, told, StringComparison.Ordinal));
            Assert.Contains("Formula: ", told, StringComparison.Ordinal);
            // One page for all: a form with facts, and one with a table.
            if (name is not ("speed" or "echo"))
                continue;
            await window.IsUsableByAll($"figure {name}");
            await window.Picture($"calc-2-{name}");
        }
        window.HadNoErrors();
    }

    [Fact]
    public async Task What_has_no_answer_is_said_and_what_was_typed_is_there_the_next_time()
    {
        await using var visit = await Visit.Begin(chromium);
        var (_, window, page) = visit;
        await window.Go("/calc/pitch");
        var pitch = Calculations.Find("pitch")!;
        var alert = page.GetByRole(AriaRole.Alert);
        await window.Button("Work it out").FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        await alert.Filter(new() { HasTextString = "This needs one thing to start from" }).WaitForAsync();
        // Named as the page names it, not as the command does.
        Assert.DoesNotContain("--", await alert.InnerTextAsync(), StringComparison.Ordinal);

        await Field(page, pitch, "bpm").FillAsync("100");
        await Field(page, pitch, "to-bpm").FillAsync("fast");
        await page.Keyboard.PressAsync("Enter");
        await alert.Filter(new() { HasTextString = "\"Tempo that is wanted\" wants a number in BPM, not \"fast\"" }).WaitForAsync();
        await window.IsUsableByAll("figure without an answer");

        // Beyond the control: told as a warning, with what comes nearest. 100 BPM ten per cent up are 110.
        await Field(page, pitch, "to-bpm").FillAsync("120");
        await Field(page, pitch, "range").FillAsync("10");
        await window.Button("Work it out").ClickAsync();
        await page.Locator(".warn", new() { HasTextString = "does not reach it" }).WaitForAsync();
        Assert.Contains("110 BPM", await page.Locator(".warn").InnerTextAsync(), StringComparison.Ordinal);
        await window.Picture("calc-3-beyond");
        // Once there is an answer, it follows what is changed.
        await Field(page, pitch, "range").FillAsync("25");
        await Field(page, pitch, "range").BlurAsync();
        await page.GetByText("reaches it").WaitForAsync();

        await window.Go("/calc/pitch");
        Assert.Equal("120", await Field(page, pitch, "to-bpm").InputValueAsync());
        await page.GetByText("reaches it").WaitForAsync();
        await window.Button("empty all fields").ClickAsync();
        await Assertions.Expect(Field(page, pitch, "to-bpm")).ToHaveValueAsync("");
        Assert.Equal(0, await page.Locator("section[aria-labelledby=answer]").CountAsync());
        await window.Go("/calc/fortune");
        await window.Heading("There is no such figure").WaitForAsync();
        window.HadNoErrors();
    }

    private static ILocator Field(IPage page, Calculation calculation, string name)
    {
        var field = calculation.Fields.Single(f => f.Name == name);
        return page.GetByLabel(field.UnitText.Length == 0 ? field.Label : $"{field.Label}, {field.UnitText}", new() { Exact = true });
    }
}
