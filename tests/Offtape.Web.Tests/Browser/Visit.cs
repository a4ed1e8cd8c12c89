using Microsoft.Playwright;

namespace Offtape.Web.Tests.Browser;

/// <summary>One person at the app: a studio that is served, a browser that was let in, its window, and a desk with files. All go with it.</summary>
internal sealed class Visit : IAsyncDisposable
{
    private string? _desk;

    private Visit(Served served, IBrowserContext context, Window window) => (Served, Context, Window) = (served, context, window);

    public Served Served { get; }

    public IBrowserContext Context { get; }

    public Window Window { get; }

    /// <summary>A folder outside the studio.</summary>
    public string Desk => _desk ??= Directory.CreateTempSubdirectory("offtape-desk-").FullName;

    public void Deconstruct(out Served served, out Window window, out IPage page) => (served, window, page) = (Served, Window, Window.Page);

    /// <param name="chromium">The browser.</param>
    /// <param name="folder">A studio that is there already and goes away at the end; null: a new one.</param>
    /// <param name="change">Of what is served.</param>
    /// <param name="width">Of the window.</param>
    /// <param name="height">Of the window.</param>
    /// <param name="hasTouch">Fingers, and not a mouse alone.</param>
    /// <param name="launch">Where the browser is led in; null: by the launch address.</param>
    public static async Task<Visit> Begin(
        Chromium chromium,
        string? folder = null,
        Func<WebOptions, WebOptions>? change = null,
        int width = 1440,
        int height = 900,
        bool hasTouch = false,
        Func<WebServer, string>? launch = null
    )
    {
        var served = await Served.Start(change, folder);
        IBrowserContext? context = null;
        try
        {
            context = await chromium.New(width, height, hasTouch);
            return new Visit(served, context, await Window.Open(context, (launch ?? (s => s.LaunchAddress))(served.Server)));
        }
        catch
        {
            if (context is not null)
                await context.DisposeAsync();
            await served.DisposeAsync();
            throw;
        }
    }

    /// <summary>A second window of the same browser, where the first one is.</summary>
    public Task<Window> Another() => Window.Open(Context, Window.Page.Url);

    /// <summary>Puts a file on the desk.</summary>
    public string Lay(string name, string text)
    {
        var path = Path.Combine(Desk, name);
        File.WriteAllText(path, text);
        return path;
    }

    public async ValueTask DisposeAsync()
    {
        await Window.DisposeAsync();
        await Context.DisposeAsync();
        await Served.DisposeAsync();
        if (_desk is not null)
            Directory.Delete(_desk, recursive: true);
    }
}
