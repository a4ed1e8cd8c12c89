using System.Net;
using Offtape.Web.Tests.Serving;

namespace Offtape.Web.Tests.Guarding;

/// <summary>
/// What another page, another name or another user of this machine may not do. Names are those of RFC 9110 (Host, Origin by RFC 6454) and of
/// the Fetch Metadata headers of the W3C; a WebSocket begins as a GET (RFC 6455).
/// </summary>
public sealed class AttackTests(AttackTests.Room room) : IClassFixture<AttackTests.Room>
{
    private readonly Served _served = room.Served;
    private readonly string _cookie = room.Cookie;

    /// <summary>One server for all that change nothing that another of them looks at, and a session in it.</summary>
    public sealed class Room : IAsyncLifetime
    {
        internal Served Served { get; private set; } = null!;

        internal string Cookie { get; private set; } = null!;

        public async ValueTask InitializeAsync()
        {
            Served = await Served.Start();
            Cookie = await Served.ComeIn();
        }

        public async ValueTask DisposeAsync() => await Served.DisposeAsync();
    }

    /// <summary>P is the port. All of them hold a session, so that nothing but the name decides.</summary>
    [Theory]
    [InlineData("127.0.0.1:P", 200)]
    [InlineData("localhost:P", 200)]
    [InlineData("LocalHost:P", 200)]
    [InlineData("[::1]:P", 200)]
    [InlineData("127.0.0.1", 403)]
    [InlineData("127.0.0.1:1", 403)]
    [InlineData("localhost", 403)]
    [InlineData("attacker.example:P", 403)]
    [InlineData("localhost.attacker.example:P", 403)]
    [InlineData("attacker.localhost:P", 403)]
    [InlineData("127.0.0.1.attacker.example:P", 403)]
    [InlineData("127.0.0.2:P", 403)]
    [InlineData("0.0.0.0:P", 403)]
    [InlineData("2130706433:P", 403)]
    public async Task Only_the_servers_own_names_are_answered(string host, int status)
    {
        foreach (var path in new[] { "/", "/offtape.css", "/alive" })
        {
            var answer = await Get(path, $"Host: {host.Replace("P", $"{_served.Port}", StringComparison.Ordinal)}", _cookie);
            Assert.Equal(status == 200 && path == "/alive" ? 204 : status, answer.Status);
        }
    }

    [Fact]
    public async Task A_request_without_a_host_is_refused() =>
        Assert.InRange((await RawRequest.Send(_served.Port, "GET", "/", _cookie)).Status, 400, 403);

    /// <summary>own: this server's origin; port: the same machine, another port.</summary>
    [Theory]
    [InlineData(null, null, 204)]
    [InlineData("own", "same-origin", 204)]
    [InlineData("own", null, 204)]
    [InlineData("https://attacker.example", "cross-site", 403)]
    [InlineData("https://attacker.example", null, 403)]
    [InlineData("port", "same-site", 403)]
    [InlineData("port", null, 403)]
    [InlineData("null", "cross-site", 403)]
    [InlineData(null, "cross-site", 403)]
    [InlineData(null, "same-site", 403)]
    [InlineData("own", "cross-site", 403)]
    public async Task What_changes_something_comes_from_the_servers_own_pages(string? origin, string? site, int status)
    {
        var form = await _served.Form(_cookie);
        var asked = await RawRequest.Send(
            _served.Port,
            "POST",
            "/uploads",
            """{"pass":"new","place":"source","files":[{"name":"a.wav","size":4}]}""",
            [.. form, "Content-Type: application/json", .. From(origin, site)]
        );
        Assert.Equal(status == 204 ? 200 : status, asked.Status);
    }

    [Fact]
    public async Task A_program_without_a_session_changes_nothing()
    {
        await using var served = await Served.Start();
        var answer = await RawRequest.Send(
            served.Port,
            "POST",
            "/uploads",
            """{"pass":"new","place":"source","files":[{"name":"a.wav","size":4}]}""",
            [served.Host, "Content-Type: application/json"]
        );
        Assert.Equal(401, answer.Status);
        Assert.False(Directory.Exists(Path.Combine(served.Folder, "passes")));
    }

    [Fact]
    public async Task A_session_alone_changes_nothing_without_the_pages_own_token()
    {
        var answer = await RawRequest.Send(
            _served.Port,
            "POST",
            "/uploads",
            """{"pass":"new","place":"source","files":[{"name":"a.wav","size":4}]}""",
            [_served.Host, _cookie, "Content-Type: application/json"]
        );
        Assert.Equal(400, answer.Status);
    }

    [Theory]
    [InlineData("own", "127.0.0.1:P", true, 101)]
    [InlineData("own", "127.0.0.1:P", false, 401)]
    [InlineData("https://attacker.example", "127.0.0.1:P", true, 403)]
    [InlineData("port", "127.0.0.1:P", true, 403)]
    [InlineData("null", "127.0.0.1:P", true, 403)]
    [InlineData(null, "127.0.0.1:P", true, 403)]
    [InlineData("http://attacker.example:P", "attacker.example:P", true, 403)]
    public async Task A_WebSocket_is_opened_by_the_servers_own_pages_only(string? origin, string host, bool hasSession, int status)
    {
        string Real(string text) => text.Replace("P", $"{_served.Port}", StringComparison.Ordinal);
        string[] headers =
        [
            $"Host: {Real(host)}",
            "Connection: Upgrade",
            "Upgrade: websocket",
            "Sec-WebSocket-Version: 13",
            "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==",
            .. hasSession ? [_cookie] : Array.Empty<string>(),
            .. From(origin is null ? null : Real(origin), null),
        ];
        Assert.Equal(status, (await RawRequest.Send(_served.Port, "GET", "/_blazor", headers)).Status);
    }

    [Fact]
    public async Task Nothing_is_shown_without_a_session()
    {
        foreach (
            var path in new[]
            {
                "/",
                "/pass",
                "/return",
                "/log",
                "/log/a",
                "/alive",
                "/offtape.js",
                "/_framework/blazor.web.js",
                "/sound/00",
                "/kept/a/fit",
                "/no",
            }
        )
        {
            Assert.Equal(401, (await Get(path, _served.Host)).Status);
            Assert.Equal(401, (await Get(path, _served.Host, $"{_cookie}0")).Status);
        }
    }

    [Fact]
    public async Task The_launch_token_is_good_once_and_leads_on_to_an_address_without_it()
    {
        await using var served = await Served.Start();
        var target = new Uri(served.Server.LaunchAddress).PathAndQuery;
        Assert.Equal(64, target.Split('=')[1].Length);
        Assert.Equal(401, (await RawRequest.Send(served.Port, "GET", target[..^1] + "x", served.Host)).Status);
        Assert.Equal(401, (await RawRequest.Send(served.Port, "HEAD", target, served.Host)).Status);
        var first = await RawRequest.Send(served.Port, "GET", target, served.Host);
        Assert.Equal(200, first.Status);
        Assert.Contains("content=\"0;url=/\"", first.Body, StringComparison.Ordinal);
        Assert.DoesNotContain(target, first.Body, StringComparison.Ordinal);
        var cookie = first.Headers["Set-Cookie"];
        Assert.Contains("httponly", cookie, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("samesite=strict", cookie, StringComparison.OrdinalIgnoreCase);
        Assert.StartsWith($"offtape-{served.Port}-", cookie, StringComparison.Ordinal);
        Assert.Equal(401, (await RawRequest.Send(served.Port, "GET", target, served.Host)).Status);
    }

    [Fact]
    public async Task The_launch_file_is_its_owners_alone_and_goes_once_it_was_used()
    {
        await using var served = await Served.Start();
        var file = served.Server.WriteLaunchFile();
        Assert.Contains(WebUtility.HtmlEncode(served.Server.LaunchAddress), Text(file), StringComparison.Ordinal);
        if (!OperatingSystem.IsWindows())
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(file));
        await served.ComeIn();
        Assert.False(File.Exists(file));
    }

    [Fact]
    public async Task A_browser_that_was_let_in_is_known_after_a_restart_and_its_secret_is_not_on_the_disk()
    {
        var folder = Directory.CreateTempSubdirectory("offtape-web-").FullName;
        string cookie;
        var port = Served.FreePort();
        var before = await Served.Start(o => o with { Port = port }, folder);
        cookie = await before.ComeIn();
        await before.Server.DisposeAsync();
        var secret = cookie.Split('=')[^1];
        foreach (var file in Directory.GetFiles(folder, "*", SearchOption.AllDirectories))
            Assert.DoesNotContain(secret, Text(file), StringComparison.Ordinal);
        await using var after = await Served.Start(o => o with { Port = port }, folder);
        Assert.Equal(200, (await RawRequest.Send(port, "GET", "/", after.Host, cookie)).Status);
    }

    [Theory]
    [InlineData("/", "no-store")]
    [InlineData("/offtape.css", "no-cache")]
    [InlineData("/_framework/blazor.web.js", "no-cache")]
    [InlineData("/no-such-page", "no-store")]
    public async Task Every_answer_says_what_the_browser_may_do(string path, string keep)
    {
        var headers = (await Get(path, _served.Host, _cookie)).Headers;
        var policy = headers["Content-Security-Policy"];
        Assert.Contains("default-src 'none'", policy, StringComparison.Ordinal);
        Assert.Contains("script-src 'self';", policy, StringComparison.Ordinal);
        Assert.Contains("frame-ancestors 'none'", policy, StringComparison.Ordinal);
        Assert.DoesNotContain("unsafe", policy, StringComparison.Ordinal);
        Assert.Equal("nosniff", headers["X-Content-Type-Options"]);
        Assert.Equal("same-origin", headers["Cross-Origin-Resource-Policy"]);
        Assert.Equal("no-referrer", headers["Referrer-Policy"]);
        Assert.Contains(keep, headers["Cache-Control"], StringComparison.Ordinal);
        Assert.DoesNotContain(headers.Keys, k => k.StartsWith("Access-Control", StringComparison.OrdinalIgnoreCase));
        Assert.DoesNotContain("Server", headers.Keys);
    }

    [Fact]
    public async Task A_page_of_another_place_cannot_draw_what_is_here_into_itself()
    {
        Assert.Equal(
            403,
            (
                await Get(
                    "/offtape.css",
                    _served.Host,
                    _cookie,
                    "Sec-Fetch-Site: same-site",
                    "Sec-Fetch-Mode: no-cors",
                    "Sec-Fetch-Dest: style"
                )
            ).Status
        );
        Assert.Equal(
            200,
            (
                await Get("/", _served.Host, _cookie, "Sec-Fetch-Site: cross-site", "Sec-Fetch-Mode: navigate", "Sec-Fetch-Dest: document")
            ).Status
        );
    }

    [Fact]
    public async Task It_listens_on_loopback_only()
    {
        var own = System
            .Net.NetworkInformation.IPGlobalProperties.GetIPGlobalProperties()
            .GetActiveTcpListeners()
            .Where(e => e.Port == _served.Port)
            .ToList();
        Assert.NotEmpty(own);
        Assert.All(own, e => Assert.True(IPAddress.IsLoopback(e.Address), $"{e.Address}"));
        if (own.Exists(e => e.Address.Equals(IPAddress.IPv6Loopback)))
            Assert.Equal(
                204,
                (
                    await RawRequest.Send(
                        _served.Port,
                        "GET",
                        "/alive",
                        "",
                        [$"Host: [::1]:{_served.Port}", _cookie],
                        IPAddress.IPv6Loopback
                    )
                ).Status
            );
    }

    private static string Text(string file) => File.ReadAllText(file);

    private Task<RawRequest.Answer> Get(string path, params string[] headers) => RawRequest.Send(_served.Port, "GET", path, headers);

    private IEnumerable<string> From(string? origin, string? site)
    {
        var real = origin switch
        {
            "own" => $"http://127.0.0.1:{_served.Port}",
            "port" => $"http://127.0.0.1:{_served.Port + 1}",
            _ => origin,
        };
        if (real is not null)
            yield return $"Origin: {real}";
        if (site is not null)
            yield return $"Sec-Fetch-Site: {site}";
    }
}
