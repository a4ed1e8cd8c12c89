using Offtape.Cli.Verbs.Demo;

namespace Offtape.Web.Tests.Browser;

/// <summary>Lantern Quay, played once through the app by whichever test asks first; the others take copies of its studio.</summary>
public sealed class PlayedQuay : IAsyncLifetime
{
    private readonly SemaphoreSlim _turn = new(1);
    private Visit? _visit;

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public async ValueTask DisposeAsync()
    {
        if (_visit is not null)
            await _visit.DisposeAsync();
        _turn.Dispose();
    }

    /// <summary>The window in which it was played, at its takes. It is to be looked at only.</summary>
    internal async Task<Visit> Look(Chromium chromium)
    {
        await _turn.WaitAsync();
        try
        {
            if (_visit is not null)
                return _visit;
            var visit = await Visit.Begin(chromium, change: o => o with { Demo = new LanternQuayMaterial() });
            await visit.Window.Button("Play Lantern Quay").ClickAsync();
            await visit.Window.IsAt("return");
            await visit.Window.Page.Locator("table.takes tbody tr").Nth(3).WaitForAsync(new() { Timeout = 240_000 });
            await visit
                .Window.Page.Locator("footer.job.empty")
                .WaitForAsync(new() { State = Microsoft.Playwright.WaitForSelectorState.Attached });
            return _visit = visit;
        }
        finally
        {
            _turn.Release();
        }
    }

    /// <summary>A copy of the studio, for a test of its own.</summary>
    internal async Task<string> Copy(Chromium chromium)
    {
        var from = (await Look(chromium)).Served.Folder;
        var to = Directory.CreateTempSubdirectory("offtape-web-").FullName;
        foreach (var folder in Directory.GetDirectories(from, "*", SearchOption.AllDirectories))
            Directory.CreateDirectory(Path.Combine(to, Path.GetRelativePath(from, folder)));
        foreach (var file in Directory.GetFiles(from, "*", SearchOption.AllDirectories))
            // What belongs to the server that has the studio open stays with it.
            if (Path.GetRelativePath(from, file).Split(Path.DirectorySeparatorChar) is not [".offtape", _])
                File.Copy(file, Path.Combine(to, Path.GetRelativePath(from, file)));
        return to;
    }
}
