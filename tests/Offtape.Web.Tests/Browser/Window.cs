using System.Text.Json;
using System.Text.RegularExpressions;
using Deque.AxeCore.Commons;
using Deque.AxeCore.Playwright;
using Microsoft.Playwright;
using Offtape.Testing;

namespace Offtape.Web.Tests.Browser;

/// <summary>A page of the app, as a person uses it, that notes every error it has.</summary>
internal sealed class Window : IAsyncDisposable
{
    private static readonly string Pictures = Directory
        .CreateDirectory(Path.Combine(RepositoryRoot.Find(), "artifacts", "screens"))
        .FullName;
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
                new PageScreenshotOptions { Path = Path.Combine(Pictures, $"end of {test.MethodName}.png"), FullPage = true }
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

    public ILocator Button(string name) => Page.GetByRole(AriaRole.Button, new PageGetByRoleOptions { Name = name, Exact = true });

    public ILocator Heading(string name) => Page.GetByRole(AriaRole.Heading, new PageGetByRoleOptions { Name = name });

    /// <summary>Nothing that axe calls serious or critical, by WCAG 2.2 A and AA.</summary>
    public async Task IsUsableByAll(string screen)
    {
        var options = new AxeRunOptions
        {
            RunOnly = new RunOnlyOptions { Type = "tag", Values = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"] },
        };
        var found = await Page.RunAxe(options);
        var serious = found
            .Violations.Where(v => v.Impact is "serious" or "critical")
            .SelectMany(v => v.Nodes.Select(n => $"{screen}: {v.Id}: {v.Help}: {n.Html}"));
        var told = string.Join("\n", serious);
        Assert.True(told.Length == 0, told);
    }

    /// <summary>Keeps a picture at the two sizes that the app is drawn for, and holds that neither scrolls sideways.</summary>
    public async Task Picture(string name)
    {
        foreach (var (width, height) in new[] { (390, 844), (1440, 900) })
        {
            await Page.SetViewportSizeAsync(width, height);
            await Page.ScreenshotAsync(new PageScreenshotOptions { Path = Path.Combine(Pictures, $"{name}-{width}.png"), FullPage = true });
            var over = await Page.EvaluateAsync<JsonElement>(
                """
                () => [...document.querySelectorAll('main *, header *')]
                    .filter(e => e.getBoundingClientRect().right > innerWidth + 1 && !e.closest('nav, svg, .away, .meaning'))
                    .map(e => e.outerHTML.slice(0, 100))
                """
            );
            Assert.True(over.GetArrayLength() == 0, $"{name} at {width} is wider than the window: {over}");
        }
    }
}
