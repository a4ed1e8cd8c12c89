using System.Text.RegularExpressions;
using Offtape.Web.Tests.Listening;
using Offtape.Web.Tests.Serving;

namespace Offtape.Web.Tests.Guarding;

/// <summary>Requests for peaks and sound: who may make them, what is out of range, and files that change or go away meanwhile.</summary>
public sealed class SoundRequestTests(SoundRequestTests.Desk desk) : IClassFixture<SoundRequestTests.Desk>
{
    [Fact]
    public async Task Without_a_session_nothing_is_seen_or_heard()
    {
        foreach (
            var target in new[]
            {
                desk.Wave,
                $"{desk.Wave}/frames?from=0&count=1",
                $"{desk.Wave}/peaks/0?from=0&count=1",
                desk.Hear,
                $"{desk.Hear}/lock?from=0&count=1",
            }
        )
        {
            Assert.Equal(200, (await Get(target)).Status);
            Assert.Equal(401, (await RawRequest.Send(desk.Served.Port, "GET", target, desk.Served.Host)).Status);
            Assert.Equal(403, (await RawRequest.Send(desk.Served.Port, "GET", target, "Host: attacker.example", desk.Form[1])).Status);
        }
    }

    [Theory]
    [InlineData("wave", "/frames?from=-1&count=1")]
    [InlineData("wave", "/frames?from=0&count=0")]
    [InlineData("wave", "/frames?from=0&count=2000000000")]
    [InlineData("wave", "/frames?from=9223372036854775808&count=1")]
    [InlineData("wave", "/frames")]
    [InlineData("wave", "/peaks/99?from=0&count=1")]
    [InlineData("wave", "/peaks/0?from=0&count=1000000")]
    [InlineData("hear", "/lock?from=-5&count=1")]
    [InlineData("hear", "/lock?from=0&count=2000000000")]
    [InlineData("hear", "/lock?from=0&count=x")]
    public async Task What_is_out_of_range_is_refused(string what, string rest) =>
        Assert.Equal(400, (await Get((what == "wave" ? desk.Wave : desk.Hear) + rest)).Status);

    [Theory]
    [InlineData("/wave/0123456789abcdef0123456789abcdef")]
    [InlineData("/hear/0123456789abcdef0123456789abcdef")]
    [InlineData("/hear/0123456789abcdef0123456789abcdef/lock?from=0&count=1")]
    [InlineData("/blind/0123456789abcdef0123456789abcdef/1/x?from=0&count=1")]
    public async Task What_no_page_has_shown_is_not_there(string target) => Assert.Equal(404, (await Get(target)).Status);

    [Theory]
    [InlineData("/sound/..%2f..%2fetc%2fpasswd")]
    [InlineData("/sound/../../etc/passwd")]
    [InlineData("/sound//etc/passwd")]
    [InlineData("/../../../../etc/passwd")]
    [InlineData("/offtape.css/../../../etc/passwd")]
    [InlineData("/%2e%2e/%2e%2e/etc/passwd")]
    [InlineData("/kept/..%2f..%2f/fit")]
    [InlineData("/wave/..%2f..%2fetc%2fpasswd")]
    [InlineData("/wave/../../etc/passwd/frames?from=0&count=9")]
    [InlineData("/wave/%2fetc%2fpasswd/peaks/0?from=0&count=9")]
    [InlineData("/hear/..%2f..%2fetc%2fpasswd")]
    [InlineData("/hear/x/..%2f..%2fetc%2fpasswd?from=0&count=9")]
    [InlineData("/blind/x/1/..%2fx?from=0&count=9")]
    [InlineData("/.offtape/waves/")]
    [InlineData("/_framework/..%2f..%2fofftape.dll")]
    public async Task No_address_is_a_path(string target)
    {
        var answer = await desk.Get(target);
        Assert.InRange(answer.Status, 400, 404);
        Assert.DoesNotContain("root:", answer.Body, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Beyond_the_end_there_is_nothing_to_see_and_silence_to_hear()
    {
        Assert.Equal("0", (await Get($"{desk.Wave}/frames?from=900000000&count=10")).Headers["Content-Length"]);
        Assert.Equal("40", (await Get($"{desk.Hear}/lock?from=900000000&count=10")).Headers["Content-Length"]);
    }

    [Fact]
    public async Task A_file_that_changes_or_goes_away_is_told_of()
    {
        await using var own = new Desk();
        await own.InitializeAsync();
        var state = Regex.Match((await own.Get(own.Hear)).Body, "\"state\":\"([0-9a-f]+)\"").Groups[1].Value;
        Assert.Equal(200, (await own.Get($"{own.Hear}/lock?state={state}&from=0&count=1")).Status);
        var file = Path.Combine(own.Served.Folder, "takes", "heard", "lock", "kit-tape.wav");
        File.Delete(file);
        Assert.Equal(404, (await own.Get($"{own.Hear}/lock?state={state}&from=0&count=1")).Status);
        ListeningDesk.Save(file, ListeningDesk.Source(1));
        var changed = await own.Get($"{own.Hear}/lock?state={state}&from=0&count=1");
        Assert.Equal(409, changed.Status);
        Assert.Contains("have changed", changed.Body, StringComparison.Ordinal);
    }

    private Task<RawRequest.Answer> Get(string target) => desk.Get(target);

    /// <summary>A studio with a pass that can be heard, served, and a session in it. Whoever changes it has one of his own.</summary>
    public sealed class Desk : IAsyncLifetime
    {
        internal Served Served { get; private set; } = null!;

        internal string[] Form { get; private set; } = null!;

        internal string Wave { get; private set; } = "";

        internal string Hear { get; private set; } = "";

        public async ValueTask InitializeAsync()
        {
            var folder = Directory.CreateTempSubdirectory("offtape-web-").FullName;
            var source = ListeningDesk.Source(2);
            ListeningDesk.Write(folder, source, _ => source);
            Served = await Served.Start(folder: folder);
            Form = await Served.Form();
            var page = (await Get($"/return/{ListeningDesk.PassId}")).Body;
            Wave = Regex.Match(page, "/wave/[0-9a-f]+").Value;
            Hear = Regex.Match(page, "/hear/[0-9a-f]+").Value;
            Assert.NotEmpty(Wave);
            Assert.NotEmpty(Hear);
        }

        public async ValueTask DisposeAsync() => await Served.DisposeAsync();

        internal Task<RawRequest.Answer> Get(string target) => RawRequest.Send(Served.Port, "GET", target, Form);
    }
}
