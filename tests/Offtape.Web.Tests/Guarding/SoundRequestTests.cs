using System.Text.RegularExpressions;
using Offtape.Web.Tests.Listening;
using Offtape.Web.Tests.Serving;

namespace Offtape.Web.Tests.Guarding;

/// <summary>Requests for peaks and sound: who may make them, what is out of range, and files that change or go away meanwhile.</summary>
public sealed class SoundRequestTests : IAsyncLifetime
{
    private readonly string _folder = Directory.CreateTempSubdirectory("offtape-web-").FullName;
    private Served _served = null!;
    private string[] _form = null!;
    private string _wave = "";
    private string _hear = "";

    public async ValueTask InitializeAsync()
    {
        var source = ListeningDesk.Source(2);
        ListeningDesk.Write(_folder, source, _ => source);
        _served = await Served.Start(folder: _folder);
        _form = await _served.Form();
        var page = (await Get($"/return/{ListeningDesk.PassId}")).Body;
        _wave = Regex.Match(page, "/wave/[0-9a-f]+").Value;
        _hear = Regex.Match(page, "/hear/[0-9a-f]+").Value;
        Assert.NotEmpty(_wave);
        Assert.NotEmpty(_hear);
    }

    public async ValueTask DisposeAsync() => await _served.DisposeAsync();

    [Fact]
    public async Task Without_a_session_nothing_is_seen_or_heard()
    {
        foreach (
            var target in new[]
            {
                _wave,
                $"{_wave}/frames?from=0&count=1",
                $"{_wave}/peaks/0?from=0&count=1",
                _hear,
                $"{_hear}/lock?from=0&count=1",
            }
        )
        {
            Assert.Equal(200, (await Get(target)).Status);
            Assert.Equal(401, (await RawRequest.Send(_served.Port, "GET", target, _served.Host)).Status);
            Assert.Equal(403, (await RawRequest.Send(_served.Port, "GET", target, "Host: attacker.example", _form[1])).Status);
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
        Assert.Equal(400, (await Get((what == "wave" ? _wave : _hear) + rest)).Status);

    [Theory]
    [InlineData("/wave/0123456789abcdef0123456789abcdef")]
    [InlineData("/hear/0123456789abcdef0123456789abcdef")]
    [InlineData("/hear/0123456789abcdef0123456789abcdef/lock?from=0&count=1")]
    [InlineData("/blind/0123456789abcdef0123456789abcdef/1/x?from=0&count=1")]
    public async Task What_no_page_has_shown_is_not_there(string target) => Assert.Equal(404, (await Get(target)).Status);

    [Fact]
    public async Task Beyond_the_end_there_is_nothing_to_see_and_silence_to_hear()
    {
        Assert.Equal("0", (await Get($"{_wave}/frames?from=900000000&count=10")).Headers["Content-Length"]);
        Assert.Equal("40", (await Get($"{_hear}/lock?from=900000000&count=10")).Headers["Content-Length"]);
    }

    [Fact]
    public async Task A_file_that_changes_or_goes_away_is_told_of()
    {
        var state = Regex.Match((await Get(_hear)).Body, "\"state\":\"([0-9a-f]+)\"").Groups[1].Value;
        Assert.Equal(200, (await Get($"{_hear}/lock?state={state}&from=0&count=1")).Status);
        var file = Path.Combine(_folder, "takes", "heard", "lock", "kit-tape.wav");
        File.Delete(file);
        Assert.Equal(404, (await Get($"{_hear}/lock?state={state}&from=0&count=1")).Status);
        ListeningDesk.Save(file, ListeningDesk.Source(1));
        var changed = await Get($"{_hear}/lock?state={state}&from=0&count=1");
        Assert.Equal(409, changed.Status);
        Assert.Contains("have changed", changed.Body, StringComparison.Ordinal);
    }

    private Task<RawRequest.Answer> Get(string target) => RawRequest.Send(_served.Port, "GET", target, _form);
}
