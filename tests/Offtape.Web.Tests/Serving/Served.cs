using Offtape.Web.Tests.Serving;

namespace Offtape.Web.Tests;

/// <summary>The app on a free port, in a studio of its own that goes away with it.</summary>
internal sealed class Served : IAsyncDisposable
{
    private Served(WebServer server, string folder) => (Server, Folder) = (server, folder);

    public WebServer Server { get; }

    public string Folder { get; }

    public int Port => new Uri(Server.Address).Port;

    public string Host => $"Host: 127.0.0.1:{Port}";

    public string Origin => $"Origin: http://127.0.0.1:{Port}";

    public static async Task<Served> Start(Func<WebOptions, WebOptions>? change = null, string? folder = null)
    {
        folder ??= Directory.CreateTempSubdirectory("offtape-web-").FullName;
        var options = new WebOptions { StudioFolder = folder, Port = FreePort() };
        return new Served(await WebServer.StartAsync(change is null ? options : change(options)), folder);
    }

    /// <summary>Comes in as a browser does.</summary>
    /// <returns>The cookie header.</returns>
    public async Task<string> ComeIn()
    {
        var answer = await RawRequest.Send(Port, "GET", new Uri(Server.LaunchAddress).PathAndQuery, Host);
        return $"Cookie: {answer.Headers["Set-Cookie"].Split(';')[0]}";
    }

    /// <summary>A session and the form token of a page, as headers.</summary>
    public async Task<string[]> Form(string? cookie = null)
    {
        cookie ??= await ComeIn();
        var page = await RawRequest.Send(Port, "GET", "/", Host, cookie);
        var form = page.Headers["Set-Cookie"].Split(';')[0];
        var token = page.Body.Split("name=\"offtape-form\" content=\"")[1].Split('"')[0];
        return [Host, $"{cookie}; {form}", $"X-Offtape-Form: {token}"];
    }

    public static int FreePort()
    {
        using var listener = new System.Net.Sockets.TcpListener(System.Net.IPAddress.Loopback, 0);
        listener.Start();
        return ((System.Net.IPEndPoint)listener.LocalEndpoint).Port;
    }

    public async ValueTask DisposeAsync()
    {
        await Server.DisposeAsync();
        Directory.Delete(Folder, recursive: true);
    }
}
