using System.Text.Json;
using System.Text.RegularExpressions;
using Microsoft.Playwright;
using Offtape.Testing;

namespace Offtape.Web.Tests.Browser;

/// <summary>A page of the app, as a person uses it, that notes every error it has.</summary>
internal sealed class Window : IAsyncDisposable
{
    private static readonly string Pictures = Directory
        .CreateDirectory(Path.Combine(RepositoryRoot.Find(), "artifacts", "screens"))
        .FullName;

    /// <summary>
    /// Pictures of every screen are for eyes, and cost more than all that is checked: they are kept where somebody asks for them, with
    /// <c>OFFTAPE_PICTURES=1</c>.
    /// </summary>
    private static readonly bool KeepsPictures = Environment.GetEnvironmentVariable("OFFTAPE_PICTURES") is { Length: > 0 };

    private readonly List<string> _errors = [];

    private Window(IPage page)
    {
        Page = page;
        page.Console += (_, message) =>
        {
            if (message.Type == "error")
                _errors.Add($"{message.Text} ({message.Location})");
        };
        page.PageError += (_, error) => _errors.Add(error);
    }

    public IPage Page { get; }

    /// <summary>No script failed, nothing was missing, and the content policy stopped nothing.</summary>
    public void HadNoErrors() => Assert.True(_errors.Count == 0, string.Join("\n", _errors));

    public static async Task<Window> Open(IBrowserContext context, string address)
    {
        var window = new Window(await context.NewPageAsync());
        await window.Page.GotoAsync(address);
        await window.Live();
        return window;
    }

    /// <summary>Keeps a last picture and the errors, by which a test that failed is understood.</summary>
    public async ValueTask DisposeAsync()
    {
        if (TestContext.Current.TestMethod is not { } test)
            return;
        await File.WriteAllLinesAsync(Path.Combine(Pictures, $"end of {test.MethodName}.txt"), _errors);
        if (!Page.IsClosed)
            await Page.ScreenshotAsync(
                new PageScreenshotOptions
                {
                    Path = Path.Combine(Pictures, $"end of {test.MethodName}.jpeg"),
                    Type = ScreenshotType.Jpeg,
                    FullPage = true,
                }
            );
    }

    /// <summary>Waits until the page answers.</summary>
    public Task Live() => Page.WaitForSelectorAsync("main[data-live=yes]");

    public async Task Go(string path)
    {
        await Page.GotoAsync(new Uri(new Uri(Page.Url), path).ToString());
        await Live();
    }

    /// <summary>Waits until a screen is there and has put the focus on its heading, as it does for whoever cannot see it change.</summary>
    public async Task IsAt(string screen)
    {
        await Assertions.Expect(Page).ToHaveURLAsync(new Regex($"/{screen}/"), new() { Timeout = 60_000 });
        await Page.Locator("h1:focus").WaitForAsync();
    }

    public Task Drop(string title, params string[] files) =>
        Page.Locator(".drop", new PageLocatorOptions { HasTextString = title }).Locator("input").SetInputFilesAsync(files);

    /// <summary>Drags a file from outside over the page and lets it go there, as a hand does: the browser's own drag, not a script's.</summary>
    public async Task DragIn(string file, ILocator onto)
    {
        await onto.ScrollIntoViewIfNeededAsync();
        var box = (await onto.BoundingBoxAsync())!;
        var browser = await Page.Context.NewCDPSessionAsync(Page);
        foreach (var type in new[] { "dragEnter", "dragOver", "drop" })
            await browser.SendAsync(
                "Input.dispatchDragEvent",
                new Dictionary<string, object>
                {
                    ["type"] = type,
                    ["x"] = box.X + box.Width / 2,
                    ["y"] = box.Y + box.Height / 2,
                    ["data"] = new
                    {
                        items = Array.Empty<object>(),
                        files = new[] { file },
                        dragOperationsMask = 1,
                    },
                }
            );
        await browser.DetachAsync();
    }

    public ILocator Button(string name) => Page.GetByRole(AriaRole.Button, new PageGetByRoleOptions { Name = name, Exact = true });

    public ILocator Heading(string name) => Page.GetByRole(AriaRole.Heading, new PageGetByRoleOptions { Name = name });

    /// <summary>Nothing that axe calls serious or critical, by WCAG 2.2 A and AA.</summary>
    public Task IsUsableByAll(string screen) => Axe.FindsNothingSerious(Page, screen, Axe.Wcag22);

    /// <summary>
    /// Shows the page by day and by night at the two sizes that the app is drawn for, and keeps a picture of each where that is asked for. Holds
    /// that neither scrolls sideways, and that everything can be read by night as well.
    /// </summary>
    public async Task Picture(string name)
    {
        foreach (var scheme in new[] { ColorScheme.Dark, ColorScheme.Light })
        {
            await Page.EmulateMediaAsync(new() { ColorScheme = scheme });
            foreach (var (width, height) in new[] { (390, 844), (1440, 900) })
            {
                var shown = $"{name}-{width}{(scheme == ColorScheme.Dark ? "-dark" : "")}";
                await Page.SetViewportSizeAsync(width, height);
                await Drawn();
                if (KeepsPictures)
                    await Page.ScreenshotAsync(
                        new PageScreenshotOptions { Path = Path.Combine(Pictures, $"{shown}.png"), FullPage = true }
                    );
                await FitsTheWindow(shown);
            }
            // WCAG 2.2, 1.4.10: at 320 px nothing has to be scrolled sideways.
            if (scheme == ColorScheme.Dark)
            {
                await Page.SetViewportSizeAsync(320, 640);
                await FitsTheWindow($"{name}-320");
                await Page.SetViewportSizeAsync(1440, 900);
                await Axe.FindsNothingSerious(Page, $"{name}, dark", Axe.Contrast);
            }
        }
    }

    // What draws itself does so in the frame after the window was changed, and may ask the server for more first.
    private async Task Drawn()
    {
        await Page.EvaluateAsync("() => new Promise(next => requestAnimationFrame(() => requestAnimationFrame(next)))");
        await Page.WaitForFunctionAsync(
            "() => [...document.querySelectorAll('.wave-host[data-drawn]')].every(h => h.dataset.drawn === 'sharp')"
        );
    }

    private async Task FitsTheWindow(string shown)
    {
        var over = await Page.EvaluateAsync<JsonElement>(
            """
            () => [...document.querySelectorAll('main *, header *')]
                .filter(e => e.getBoundingClientRect().right > innerWidth + 1 && !e.closest('nav, svg, .away, .meaning'))
                .map(e => e.outerHTML.slice(0, 100))
            """
        );
        Assert.True(over.GetArrayLength() == 0, $"{shown} is wider than the window: {over}");
    }
}
