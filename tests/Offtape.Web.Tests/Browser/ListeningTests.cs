using Microsoft.Playwright;
using Offtape.Web.Tests.Listening;

namespace Offtape.Web.Tests.Browser;

/// <summary>A take seen and heard in a real browser.</summary>
public sealed class ListeningTests(Chromium chromium)
{
    [Fact]
    public async Task A_take_is_seen_and_heard_and_its_retiming_switched()
    {
        await using var visit = await Heard((r, s) => (r == "shift" ? 0.2f : 0.7f) * s);
        var (served, window, page) = visit;
        await page.Locator("hear-desk .wave-host[data-drawn=sharp]").WaitForAsync();
        await page.GetByText("Equally loud by").WaitForAsync();
        await window.IsUsableByAll("listening");
        await window.Picture("20-listening");

        // Looped, so that it still plays when a slow machine comes to the pause.
        await page.Locator("section.take [data-part=loop]").ClickAsync();
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

    /// <summary>
    /// The worklet alone, rendered off line. Each variant is a ramp that tells its own frame exactly, so what comes out says which frame of
    /// which variant was heard when.
    /// </summary>
    [Fact]
    public async Task Variants_stand_at_one_frame_switch_without_a_gap_and_loop_exactly()
    {
        await using var visit = await Visit.Begin(chromium);
        var (served, window, page) = visit;
        var heard = await window.Page.EvaluateAsync<float[]>(
            """
            async () => {
                const [rate, frames, size] = [48000, 131072, 16384];
                const ctx = new OfflineAudioContext(1, 96000, rate);
                await ctx.audioWorklet.addModule('/hear-worklet.js');
                const node = new AudioWorkletNode(ctx, 'offtape-hear', {
                    numberOfInputs: 0, outputChannelCount: [1],
                    processorOptions: { variants: ['source', 'take'], frameCount: frames, channelCount: 1 },
                });
                node.connect(ctx.destination);
                const post = message => node.port.postMessage(message);
                // Once the worklet has had its messages, and only then, time goes on.
                const at = (seconds, ...messages) => ctx.suspend(seconds).then(async () => {
                    messages.forEach(post);
                    const asked = new Promise(next => { node.port.onmessage = ({ data }) => { if (data.tell === 'asked') next(); }; });
                    post({ do: 'ask' });
                    await asked;
                    ctx.resume();
                });
                const pieces = [];
                for (let v = 0; v < 2; v++)
                    for (let i = 0; i * size < frames; i++)
                        pieces.push({ do: 'piece', variant: v, index: i, channels: [Float32Array.from({ length: size }, (_, n) => v * 0.5 + (i * size + n + 1) / 2 ** 20)] });
                at(128 / rate, ...pieces, { do: 'loop', loop: { from: 20000, to: 40000 } }, { do: 'play' });
                at(19200 / rate, { do: 'choose', variant: 1 });
                at(28800 / rate, { do: 'choose', variant: 0 });
                return [...(await ctx.startRendering()).getChannelData(0)];
            }
            """
        );
        const int begun = 128;
        const int ramp = 240;
        const int seam = 192;
        // The frame that is due at each moment: from 0 to 40 000, and from there on round and round from 20 000.
        static int Due(int i) => i - begun < 40_000 ? i - begun : 20_000 + (i - begun - 40_000) % 20_000;
        for (var i = begun + ramp; i < heard.Length; i++)
        {
            var frame = Due(i);
            if (frame >= 40_000 - seam)
                continue;
            var isTake = i is >= 19_200 + ramp and < 28_800;
            var isSource = i < 19_200 || i >= 28_800 + ramp;
            var (source, take) = ((frame + 1) / 1048576f, 0.5f + (frame + 1) / 1048576f);
            if (isSource || isTake)
                Assert.Equal(isTake ? take : source, heard[i], 1e-7f);
            else
                Assert.InRange(heard[i], source, take);
        }
        // No step is larger than the ramp of a switch makes: half of full scale in 240 frames; the same at the seam.
        for (var i = begun + 1; i < heard.Length; i++)
            Assert.True(Math.Abs(heard[i] - heard[i - 1]) < 0.5f / ramp + 1e-4f, $"a step of {heard[i] - heard[i - 1]} at {i}");
        Assert.All(heard[..begun], s => Assert.Equal(0, s));
    }

    /// <summary>What the server gives for source and take begins at the same frame: a take that is its source, bit for bit.</summary>
    [Fact]
    public async Task Source_and_take_come_from_the_same_frames()
    {
        await using var visit = await Heard((_, s) => s);
        var (served, window, page) = visit;
        await window.Page.Locator("section.take hear-desk [data-part=play]:not(:disabled)").WaitForAsync();
        var differences = await window.Page.EvaluateAsync<int[]>(
            """
            async () => {
                const { player } = document.querySelector('section.take hear-desk');
                const get = async (name, from) => new Float32Array(await (await fetch(`${player.variants.find(v => v.name === name).url}from=${from}&count=16384`)).arrayBuffer());
                const differences = [];
                for (const from of [0, 16384, 100000, 180000])
                    for (const take of ['shift', 'fit', 'steady', 'lock']) {
                        const [a, b] = [await get('source', from), await get(take, from)];
                        differences.push(a.length === 16384 ? a.filter((s, i) => s !== b[i]).length : -1);
                    }
                return differences;
            }
            """
        );
        Assert.Equal(16, differences.Length);
        Assert.All(differences, d => Assert.Equal(0, d));
    }

    [Fact]
    public async Task A_blind_comparison_is_told_when_it_is_over()
    {
        await using var visit = await Heard((r, s) => (r == "shift" ? 0.2f : 0.7f) * s);
        var (served, window, page) = visit;
        await page.GetByText("Equally loud by").WaitForAsync();
        await window.Button("Compare blind").ClickAsync();
        await page.GetByLabel("Trials, settled now").SelectOptionAsync("10");
        await page.GetByText("9 of 10 have to be right").WaitForAsync();
        await window.Button("Begin").ClickAsync();
        await page.GetByText("Trial 1 of 10.").WaitForAsync();
        await Assertions.Expect(page.Locator("input[data-hear=x]")).ToBeCheckedAsync();
        await window.IsUsableByAll("blind comparison");
        await window.Picture("21-blind");
        await page.Keyboard.PressAsync("x");
        Assert.Equal("x", await Chosen(page));
        Assert.DoesNotContain(
            "/hear/",
            await page.EvaluateAsync<string>(
                "() => document.querySelector('section.take hear-desk').player.variants.map(v => v.url).join()"
            ),
            StringComparison.Ordinal
        );
        for (var trial = 1; trial <= 10; trial++)
        {
            await page.GetByText($"Trial {trial} of 10.").WaitForAsync();
            Assert.DoesNotContain("right. By guessing", await page.Locator("section.take").InnerTextAsync(), StringComparison.Ordinal);
            await window.Button(trial % 3 == 0 ? "X is B" : "X is A").ClickAsync();
        }
        await page.GetByText("of 10 right. By guessing").WaitForAsync();
        await window.Picture("22-blind-over");
        await page.Keyboard.PressAsync("s");
        Assert.Equal("source", await Chosen(page));
        window.HadNoErrors();
    }

    [Fact]
    public async Task A_waveform_is_seen_from_the_whole_down_to_single_samples()
    {
        await using var visit = await Heard((_, s) => 0.7f * s, seconds: 30);
        var (served, window, page) = visit;
        var host = page.Locator("section.take .wave-host");
        await host.And(page.Locator("[data-drawn=sharp]")).WaitForAsync();
        await page.Locator("section.take .wave-box")
            .HoverAsync(
                new()
                {
                    Position = new() { X = 400, Y = 80 },
                }
            );
        for (var i = 0; i < 12; i++)
            await page.Mouse.WheelAsync(0, -600);
        Assert.InRange(await FramesPerPixel(page), 0.01, 0.5);
        await host.And(page.Locator("[data-drawn=sharp]")).WaitForAsync();
        await window.Picture("23-samples");

        // Panning by its axis, by the wheel, by buttons; wider by a key.
        var before = await From(page);
        await page.Locator("section.take .wave-box").ScrollIntoViewIfNeededAsync();
        var box = (await page.Locator("section.take .wave-box").BoundingBoxAsync())!;
        await page.Mouse.MoveAsync(box.X + 500, box.Y + box.Height - 10);
        await page.Mouse.DownAsync();
        await page.Mouse.MoveAsync(box.X + 300, box.Y + box.Height - 10);
        await page.Mouse.UpAsync();
        Assert.True(await From(page) > before);
        await page.Mouse.WheelAsync(-300, 0);
        await page.Locator("section.take").GetByRole(AriaRole.Button, new() { Name = "later" }).ClickAsync();
        Assert.True(await From(page) > before);
        var close = await FramesPerPixel(page);
        await page.Locator("section.take .wave-box").FocusAsync();
        await page.Keyboard.PressAsync("-");
        Assert.Equal(2, await FramesPerPixel(page) / close, 0.01);
        await page.Keyboard.PressAsync("0");
        Assert.True(await FramesPerPixel(page) > 1000);

        // A stretch is dragged, and is looped.
        await page.Locator("section.take .wave-box").ScrollIntoViewIfNeededAsync();
        box = (await page.Locator("section.take .wave-box").BoundingBoxAsync())!;
        await page.Mouse.MoveAsync(box.X + 200, box.Y + 60);
        await page.Mouse.DownAsync();
        await page.Mouse.MoveAsync(box.X + 420, box.Y + 60, new() { Steps = 4 });
        await page.Mouse.UpAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Looped 0:0" }).WaitForAsync();
        window.HadNoErrors();
    }

    /// <summary>Two fingers take hold of two moments, and both stay under them: 5 s and 15 s of 30, wherever the fingers go.</summary>
    [Fact]
    public async Task Two_fingers_zoom_a_waveform()
    {
        await using var visit = await Heard((_, s) => 0.7f * s, seconds: 30, hasTouch: true);
        var (_, window, page) = visit;
        await page.Locator("section.take .wave-host[data-drawn=sharp]").WaitForAsync();
        var wave = page.Locator("section.take .wave-box");
        await wave.ScrollIntoViewIfNeededAsync();
        var box = (await wave.BoundingBoxAsync())!;
        // In seconds at the two fingers, once the browser has handed on where they are. A pixel is 29 ms at first: so well is a finger known.
        Task Holds(double left, double right) =>
            page.WaitForFunctionAsync(
                """
                ([left, right]) => {
                    const { from, perPixel } = document.querySelector('section.take hear-desk').view;
                    return Math.abs(from + left * perPixel - 5) < 0.03 && Math.abs(from + right * perPixel - 15) < 0.03;
                }
                """,
                new[] { left, right }
            );
        var perSecond = 1 / (await FramesPerPixel(page) / 48_000);
        var browser = await page.Context.NewCDPSessionAsync(page);
        Task Touch(string type, params double[] at) =>
            browser.SendAsync(
                "Input.dispatchTouchEvent",
                new()
                {
                    ["type"] = type,
                    ["touchPoints"] = at.Select(
                            (x, i) =>
                                new
                                {
                                    x = box.X + x,
                                    y = box.Y + 60,
                                    id = i,
                                }
                        )
                        .ToArray(),
                }
            );
        var (a, b) = (5 * perSecond, 15 * perSecond);
        await Touch("touchStart", a);
        await Touch("touchStart", a, b);
        for (var step = 1; step <= 4; step++)
            await Touch("touchMove", a - 30 * step, b + 40 * step);
        await Holds(a - 120, b + 160);
        for (var step = 1; step <= 4; step++)
            await Touch("touchMove", a - 120 + 50 * step, b + 160 + 50 * step);
        await Holds(a + 80, b + 360);
        var close = await FramesPerPixel(page);
        await Touch("touchEnd", a + 80);
        await Touch("touchMove", a + 20);
        await page.EvaluateAsync("() => new Promise(next => requestAnimationFrame(() => requestAnimationFrame(next)))");
        Assert.Equal(close, await FramesPerPixel(page));
        await Touch("touchEnd");
        // Nothing was chosen or placed by it, and pinched together the whole is seen.
        Assert.Equal(0, await page.GetByRole(AriaRole.Button, new() { NameRegex = new("^Looped") }).CountAsync());
        await Touch("touchStart", 100, 700);
        for (var step = 1; step <= 6; step++)
            await Touch("touchMove", 100 + 45 * step, 700 - 45 * step);
        await Touch("touchEnd");
        await page.WaitForFunctionAsync(
            "whole => Math.abs(document.querySelector('section.take hear-desk').view.perPixel - whole) < 1e-9",
            1 / perSecond
        );

        // One finger drags a stretch, as before.
        await Touch("touchStart", 200);
        for (var step = 1; step <= 4; step++)
            await Touch("touchMove", 200 + 50 * step);
        await Touch("touchEnd");
        await page.GetByRole(AriaRole.Button, new() { Name = "Looped 0:0" }).WaitForAsync();
        window.HadNoErrors();
    }

    /// <summary>Marks and corrections of one window show in the other, and so does a recording that goes away under both.</summary>
    [Fact]
    public async Task Two_windows_at_one_pass_show_the_same()
    {
        await using var visit = await Heard((_, s) => 0.7f * s);
        var (served, window, page) = visit;
        await using var other = await visit.Another();
        var there = other.Page;
        await page.Locator("input[data-mark=keep]").CheckAsync();
        await Assertions.Expect(there.Locator("input[data-mark=keep]")).ToBeCheckedAsync();
        await there.GetByText("Save what is kept").WaitForAsync();
        await there.Locator("input[data-mark=wrong]").CheckAsync();
        await Assertions.Expect(page.Locator("input[data-mark=wrong]")).ToBeCheckedAsync();
        await page.GetByText("Save what is kept").WaitForAsync(new() { State = WaitForSelectorState.Detached });

        // A place set by hand in one, let go in the other.
        await window.Button("back.wav").ClickAsync();
        await other.Button("back.wav").ClickAsync();
        await page.GetByLabel("begins at").FillAsync("0:01.5");
        await window.Button("Hold it there").ClickAsync();
        await there.GetByText("kit is held at 0:01.500").WaitForAsync();
        await there.GetByRole(AriaRole.Button, new() { Name = "Let kit.wav go" }).ClickAsync();
        await page.GetByText("kit is held at").WaitForAsync(new() { State = WaitForSelectorState.Detached });

        // What it holds, and whether it is heard.
        await page.Locator("table.captures input[type=checkbox]").UncheckAsync();
        await Assertions.Expect(there.Locator("table.captures input[type=checkbox]")).Not.ToBeCheckedAsync();

        // The recording goes away on the disk; whatever is done next in one window, both say so.
        File.Delete(Path.Combine(served.Folder, "captures", "heard", "back.wav"));
        await there.Locator("input[data-mark=again]").CheckAsync();
        await Assertions.Expect(page.Locator("input[data-mark=again]")).ToBeCheckedAsync();
        await page.GetByText("is not there any more. Its takes stay").WaitForAsync();
        await there.GetByText("is not there any more. Its takes stay").WaitForAsync();
    }

    [Fact]
    public async Task A_recording_that_goes_away_while_it_is_looked_at_is_missed_in_words()
    {
        await using var visit = await Heard((_, s) => s, seconds: 30);
        var (served, window, page) = visit;
        await window.Button("back.wav").ClickAsync();
        await page.Locator(".recording .wave-host[data-drawn=sharp]").WaitForAsync();
        await window.Picture("24-recording");
        File.Delete(Path.Combine(served.Folder, "captures", "heard", "back.wav"));
        await page.Locator(".recording [data-part=play]").ClickAsync();
        await page.Locator(".recording [data-part=said]", new() { HasTextString = "not there any more" }).WaitForAsync();
    }

    /// <summary>At the takes of a pass that is known to the sample.</summary>
    private async Task<Visit> Heard(Func<string, float, float> takeOf, double seconds = ListeningDesk.Seconds, bool hasTouch = false)
    {
        var studio = Directory.CreateTempSubdirectory("offtape-web-").FullName;
        var source = ListeningDesk.Source(seconds);
        ListeningDesk.Write(studio, source, r => Array.ConvertAll(source, s => takeOf(r, s)));
        var visit = await Visit.Begin(chromium, folder: studio, hasTouch: hasTouch);
        await visit.Window.Go($"/return/{ListeningDesk.PassId}");
        return visit;
    }

    private static Task<double> FramesPerPixel(IPage page) =>
        page.EvaluateAsync<double>("() => document.querySelector('section.take hear-desk').view.perPixel * 48000");

    private static Task<double> From(IPage page) =>
        page.EvaluateAsync<double>("() => document.querySelector('section.take hear-desk').view.from");

    private static Task<string> Chosen(IPage page) =>
        page.EvaluateAsync<string>(
            "() => { const d = document.querySelector('section.take hear-desk'); return d.player.variants[d.player.chosen].name; }"
        );
}
