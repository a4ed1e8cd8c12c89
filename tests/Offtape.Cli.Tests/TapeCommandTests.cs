using Offtape.AudioFiles;
using Offtape.Cli.Tests.Running;
using Offtape.Testing;

namespace Offtape.Cli.Tests;

/// <summary>The shelf of tapes from the command line: times worked out from lengths and speeds by hand.</summary>
public sealed class TapeCommandTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private Ran Tape(params string[] arguments) => Tool.RunIn(_folder.Path, ["tape", .. arguments, "--studio", "studio"]);

    private string Sound(string name, double seconds)
    {
        var path = _folder[$"stems/{name}.wav"];
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        using var writer = AudioWriter.Create(path, new AudioFormat(8000, 1, SampleEncoding.Pcm16));
        writer.Write([.. Enumerable.Range(0, (int)(seconds * 8000)).Select(i => 0.3f * MathF.Sin(0.4f * i * (1 + i / 1e5f)))]);
        writer.Complete();
        return path;
    }

    /// <summary>A C60 plays half an hour a side at 4.7625 cm/s, and a quarter at twice that.</summary>
    [Fact]
    public void A_tape_is_added_shown_and_used()
    {
        Assert.Equal(0, Tape("add", "LQ-1", "--length", "C60", "--format", "cassette-stereo", "--type", "I").ExitCode);
        Assert.Equal(5, Tape("add", "lq-1", "--length", "C90").ExitCode);
        Assert.Equal(0, Tape("use", "LQ-1", "--side", "A", "--from", "60", "--to", "180", "--what", "old mix").ExitCode);
        Assert.Equal(0, Tape("use", "LQ-1", "--from", "120", "--to", "240", "--what", "low pulse").ExitCode);

        var tape = Tape("show", "LQ-1", "--json").Json;
        var a = tape.GetProperty("sides")[0];
        Measured.Within(1800, a.GetProperty("playingSeconds").GetDouble(), 1e-6, "s a side");
        // Five seconds at either end, and three minutes recorded.
        Measured.Within(1800 - 10 - 180, a.GetProperty("freeSeconds").GetDouble(), 1e-6, "s free");
        var recorded = a.GetProperty("recorded").EnumerateArray().ToArray();
        Assert.Equal(
            [("old mix", 60.0, 120.0, 1), ("low pulse", 120, 180, 2), ("low pulse", 180, 240, 1)],
            recorded.Select(r =>
                (
                    r.GetProperty("what").GetString()!,
                    Math.Round(r.GetProperty("fromSeconds").GetDouble(), 6),
                    Math.Round(r.GetProperty("toSeconds").GetDouble(), 6),
                    r.GetProperty("times").GetInt32()
                )
            )
        );
        Assert.False(tape.GetProperty("canPrintBackwardsByTurning").GetBoolean());
        Measured.Within(
            900,
            Tape("show", "LQ-1", "--speed", "9.525", "--json").Json.GetProperty("sides")[1].GetProperty("playingSeconds").GetDouble(),
            1e-6,
            "s at twice the speed"
        );
        Assert.Contains("free: 4:00 to 29:55", Tape("show", "LQ-1").Output, StringComparison.Ordinal);
        Assert.Single(Tape("list", "--json").Json.EnumerateArray());
    }

    [Fact]
    public void Sounds_are_fitted_between_what_is_recorded_with_the_counter()
    {
        Tape("add", "LQ-1", "--length", "C60", "--format", "cassette-stereo");
        Tape("use", "LQ-1", "--side", "B", "--from", "0", "--to", "1790");
        Tape("use", "LQ-1", "--from", "100", "--to", "1790");
        // A straight counter of one a second.
        Tape("mark", "LQ-1", "--machine", "deck", "--counter", "100", "--after", "100");
        Sound("kit", 60);
        Sound("pulse", 25);
        var fit = Tape("fit", "stems", "--machine", "deck", "--json");
        Assert.Equal(0, fit.ExitCode);
        var sounds = fit.Json.GetProperty("sounds");
        // From the margin of 5 s on, 2 s apart.
        Measured.Within(5, sounds[0].GetProperty("startSeconds").GetDouble(), 1e-6, "s");
        Measured.Within(67, sounds[1].GetProperty("startSeconds").GetDouble(), 1e-6, "s");
        Measured.Within(67, sounds[1].GetProperty("startCounter").GetDouble(), 1e-6, "counts");

        Sound("long", 95);
        var tooMuch = Tape("fit", "stems");
        Assert.Equal(3, tooMuch.ExitCode);
        Assert.Contains("find no free stretch", tooMuch.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void What_a_send_printed_stands_on_the_tape_and_on_its_box()
    {
        var kit = Sound("kit", 3);
        Tape("add", "reel 2", "--length", "1200ft", "--format", "half-track-mono");
        var send = Tool.RunIn(
            _folder.Path,
            ["send", kit, "--to", "pass", "--studio", "studio", "--tape", "reel 2", "--start", "30", "--speed", "19.05", "--rate", "44100"]
        );
        Assert.Equal(0, send.ExitCode);
        var recorded = Tape("show", "reel 2", "--json").Json.GetProperty("sides")[0].GetProperty("recorded")[0];
        Assert.Contains("kit", recorded.GetProperty("what").GetString(), StringComparison.Ordinal);
        Measured.Within(30, recorded.GetProperty("fromSeconds").GetDouble(), 1e-6, "s");
        Assert.Equal(0, Tape("box", "reel 2", "--to", "box").ExitCode);
        Assert.Contains("kit", File.ReadAllText(_folder["box/box.svg"]), StringComparison.Ordinal);
        Assert.True(new FileInfo(_folder["box/box.pdf"]).Length > 1000);
        Assert.Equal(5, Tape("box", "reel 2", "--to", "box").ExitCode);
    }

    /// <summary>A four-track cassette of half an hour plays a quarter at 9.525 cm/s: one track full leaves three.</summary>
    [Fact]
    public void Tracks_of_one_side_are_kept_apart()
    {
        Tape("add", "LQ-4", "--length", "C60", "--format", "cassette-four-track");
        Tape("use", "LQ-4", "--to", "900", "--tracks", "1", "--what", "old mix");
        var kit = Sound("kit", 30);
        var send = Tool.RunIn(
            _folder.Path,
            [
                .. "send --to pass --studio studio --tape LQ-4 --start 100 --speed 9.525 --tracks 2=kit.wav --rate 44100 --json".Split(' '),
                kit,
            ]
        );
        Assert.Equal(0, send.ExitCode);
        var passId = send.Json.GetProperty("passId").GetString()!;
        var length = send.Json.GetProperty("lengthSeconds").GetDouble();
        var side = Tape("show", "LQ-4", "--json").Json.GetProperty("sides")[0];
        Measured.Within(0, side.GetProperty("freeSeconds").GetDouble(), 1e-9, "s free on all tracks at once");
        Assert.Equal(
            [("1", 0.0), ("2", Math.Round(890 - length, 6)), ("3,4", 890)],
            side.GetProperty("freeByTrack")
                .EnumerateArray()
                .Select(f =>
                    (string.Join(',', f.GetProperty("tracks").EnumerateArray()), Math.Round(f.GetProperty("freeSeconds").GetDouble(), 6))
                )
        );
        Assert.Equal(
            ["1", "2"],
            side.GetProperty("recorded").EnumerateArray().Select(r => string.Join(',', r.GetProperty("tracks").EnumerateArray()))
        );
        Assert.All(side.GetProperty("recorded").EnumerateArray(), r => Assert.Equal(1, r.GetProperty("times").GetInt32()));
        Assert.Contains("free on track 3, 4: 0:05 to 14:55", Tape("show", "LQ-4").Output, StringComparison.Ordinal);

        foreach (var name in new[] { "bass", "glass", "marimba", "pulse" })
            Sound(name, 30);
        var fit = Tape("fit", "stems", "--json");
        Assert.Equal(0, fit.ExitCode);
        Assert.Equal(5, fit.Json.GetProperty("sounds").GetArrayLength());
        foreach (var row in fit.Json.GetProperty("sounds").EnumerateArray())
            Assert.NotEqual(1, Assert.Single(row.GetProperty("tracks").EnumerateArray()).GetInt32());
        // On all four at once nothing is free.
        Assert.Equal(3, Tape("fit", "stems", "--tracks", "1,2,3,4").ExitCode);

        // It went to track 3 after all.
        Assert.Equal(0, Tool.RunIn(_folder.Path, "log", "set", passId, "--tape-tracks", "3", "--studio", "studio").ExitCode);
        var pass = Tool.RunIn(_folder.Path, "log", "show", passId, "--studio", "studio", "--json").Json;
        Assert.Equal(3, Assert.Single(pass.GetProperty("tapeTracks").EnumerateArray()).GetInt32());
        Tape("box", "LQ-4", "--to", "box");
        Assert.Contains(
            "kit.wav, track 3",
            System.Text.RegularExpressions.Regex.Replace(File.ReadAllText(_folder["box/box.svg"]), "<[^>]*>", ""),
            StringComparison.Ordinal
        );
        var wrong = Tool.RunIn(_folder.Path, "log", "set", passId, "--tape-tracks", "5", "--studio", "studio");
        Assert.Equal(3, wrong.ExitCode);
        Assert.Contains("no track 5", wrong.OneErrorLine, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(2, "add", "X", "--length", "long")]
    [InlineData(2, "add", "X", "--length", "C60", "--format", "full-track")]
    [InlineData(2, "add", "X", "--format", "eight-track")]
    [InlineData(2, "use", "LQ-1")]
    [InlineData(2, "use", "LQ-1", "--from", "20", "--to", "10")]
    [InlineData(2, "use", "LQ-1", "--to", "10", "--tracks", "one")]
    [InlineData(3, "use", "LQ-1", "--to", "2000")]
    [InlineData(3, "use", "LQ-1", "--to", "10", "--side", "C")]
    [InlineData(3, "use", "LQ-1", "--to", "10", "--tracks", "3")]
    [InlineData(3, "show", "LQ-9")]
    [InlineData(2, "mark", "LQ-1", "--counter", "5")]
    [InlineData(2, "box", "LQ-1")]
    public void What_cannot_be_is_one_line(int exitCode, params string[] arguments)
    {
        Tape("add", "LQ-1", "--length", "C60", "--format", "cassette-stereo");
        var ran = Tape(arguments);
        Assert.Equal(exitCode, ran.ExitCode);
        Assert.Single(ran.ErrorLines);
    }

    [Fact]
    public void Without_a_studio_it_says_how_one_begins()
    {
        var ran = Tool.RunIn(_folder.Path, ["tape", "list"]);
        Assert.Equal(2, ran.ExitCode);
        Assert.Contains("--studio DIR", Assert.Single(ran.ErrorLines), StringComparison.Ordinal);
    }
}
