using Microsoft.Playwright;
using Offtape.Web.Tests.Browser;

[assembly: AssemblyFixture(typeof(Chromium))]
[assembly: AssemblyFixture(typeof(PlayedQuay))]

namespace Offtape.Web.Tests.Browser;

/// <summary>One Chromium for all browser tests: the system's own, found where Debian and its relatives put it.</summary>
public sealed class Chromium : IAsyncLifetime
{
    private static readonly string[] Places = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];

    private static readonly string[] Quietly =
    [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--autoplay-policy=no-user-gesture-required",
    ];

    private IPlaywright? _playwright;
    private IBrowser? _browser;

    public static string? Path => Array.Find(Places, File.Exists);

    public async ValueTask InitializeAsync()
    {
        if (Path is not { } path)
            return;
        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(new BrowserTypeLaunchOptions { ExecutablePath = path, Args = Quietly });
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null)
            await _browser.CloseAsync();
        _playwright?.Dispose();
    }

    /// <summary>A browser of its own, as far as cookies go.</summary>
    public async Task<IBrowserContext> New(int width = 1440, int height = 900, bool hasTouch = false)
    {
        Assert.SkipWhen(_browser is null, "no Chromium is installed");
        var context = await _browser!.NewContextAsync(
            new BrowserNewContextOptions
            {
                ViewportSize = new ViewportSize { Width = width, Height = height },
                ColorScheme = ColorScheme.Light,
                HasTouch = hasTouch,
                AcceptDownloads = true,
            }
        );
        context.SetDefaultTimeout(60_000);
        return context;
    }
}
