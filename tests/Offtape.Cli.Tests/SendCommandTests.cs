using System.Text.Json;
using Offtape.Base;
using Offtape.Cli.Tests.Running;
using Offtape.Passes;
using Offtape.Testing;

namespace Offtape.Cli.Tests;

/// <summary>The <c>send</c> verb: what it writes, what it says, and what it refuses.</summary>
public sealed class SendCommandTests
{
    [Fact]
    public void It_writes_the_send_and_its_sheet_and_says_the_run_in_order()
    {
        using var folder = Sounds();
        var ran = Tool.RunIn(folder.Path, "send", "sounds", "--to", "pass1", "--speed", "19.05");
        Assert.Equal(0, ran.ExitCode);
        Assert.Equal(["pass1/pass.json", "pass1/send.wav", "sounds/kick.wav", "sounds/snare.wav"], folder.Files);
        Assert.Contains("The run:", ran.Output, StringComparison.Ordinal);
        var places = new[]
        {
            "lean heads",
            "oise reduction off",
            "counter to zero",
            "record level",
            "leader",
            "Play send.wav",
            "5 s past",
            "Stop",
        };
        var last = -1;
        foreach (var words in places)
        {
            var at = ran.Output.IndexOf(words, last + 1, StringComparison.Ordinal);
            Assert.True(at > last, $"\"{words}\" is missing or out of order");
            last = at;
        }
    }

    [Fact]
    public void A_send_that_lies_among_the_sounds_is_no_source()
    {
        using var folder = Sounds();
        Assert.Equal(0, Tool.RunIn(folder.Path, "send", "sounds", "--to", "sounds").ExitCode);
        // Into the same folder again, and from there elsewhere; a send.wav without a sheet beside it is a sound like others.
        foreach (var to in new[] { "sounds", "elsewhere" })
        {
            var json = Tool.RunIn(folder.Path, "send", "sounds", "--to", to, "--force", "--json").Json;
            Assert.Equal(
                ["kick.wav", "snare.wav"],
                json.GetProperty("items").EnumerateArray().Select(i => i.GetProperty("source").GetString())
            );
        }
        File.Delete(folder["sounds/pass.json"]);
        Assert.Equal(3, Tool.RunIn(folder.Path, "send", "sounds", "--to", "third", "--json").Json.GetProperty("items").GetArrayLength());
    }

    [Fact]
    public void The_words_say_how_much_tape_the_pass_needs()
    {
        using var folder = Sounds();
        var ran = Tool.RunIn(folder.Path, "send", "sounds", "--to", "pass1", "--json");
        var json = ran.Json;
        var again = Tool.RunIn(folder.Path, "send", "sounds", "--to", "pass2");
        Assert.Equal("", again.Error);
        // 5 s of blank tape before the send and 5 s after it.
        var (length, needed) = (
            json.GetProperty("lengthSeconds").GetDouble(),
            json.GetProperty("side").GetProperty("neededSeconds").GetDouble()
        );
        Measured.Within(10, needed - length, 1e-9, "seconds of margins");
        Assert.Contains(
            $"2 sources in a send of {Words.Duration(length)}; with blank tape at both ends the pass needs {Words.Duration(needed)}.",
            again.Output.ReplaceLineEndings(" "),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void Its_json_names_files_items_side_and_steps()
    {
        using var folder = Sounds();
        var json = Tool.RunIn(folder.Path, "send", "sounds", "--to", "pass1", "--side", "30", "--json").Json;
        Assert.Equal(
            [
                "written",
                "sendFile",
                "sheetFile",
                "passId",
                "sampleRateHz",
                "channelCount",
                "lengthSeconds",
                "items",
                "side",
                "steps",
                "warnings",
                "studio",
            ],
            json.EnumerateObject().Select(p => p.Name)
        );
        Assert.Equal(
            ["source", "startSeconds", "lengthSeconds", "gainDb", "tracks"],
            json.GetProperty("items")[0].EnumerateObject().Select(p => p.Name)
        );
        Assert.Equal("clean", json.GetProperty("steps")[0].GetProperty("kind").GetString());
        Assert.Equal(JsonValueKind.Null, json.GetProperty("side").GetProperty("tapeMetres").ValueKind);
        var sheet = PassSheet.Load(folder["pass1/pass.json"]);
        Assert.Equal(sheet.PassId, json.GetProperty("passId").GetString());
    }

    [Fact]
    public void Every_option_reaches_the_sheet()
    {
        using var folder = Sounds();
        const string options =
            "--to p --rate 44100 --depth 16 --level −9 --level-each --lead 12 --slate on --layout parallel --tracks 1=snare.wav,2=kick "
            + "--stripe 4 --line-up --speed 3.75ips --print-ratio 2 --reverse --side 30";
        var ran = Tool.RunIn(folder.Path, ["send", "sounds", .. options.Split(' ')]);
        Assert.Equal(
            (0, ""),
            (ran.ExitCode, string.Join('\n', ran.ErrorLines.Where(l => l.StartsWith("offtape:", StringComparison.Ordinal))))
        );
        var sheet = PassSheet.Load(folder["p/pass.json"]);
        Assert.Equal(44_100, sheet.SampleRateHz);
        Assert.Equal("16", sheet.Depth);
        Assert.Equal(-9, sheet.LevelDbfs);
        Assert.True(sheet.LevelEach);
        Assert.Equal(SendLayout.Parallel, sheet.Layout);
        Assert.Equal([2], sheet.Items.Single(i => i.Source == "kick.wav").Tracks);
        Assert.Equal(4, sheet.Stripe!.Track);
        Assert.NotNull(sheet.LineUp);
        Assert.Equal(9.525, sheet.SpeedCmPerSecond);
        Assert.Equal(2, sheet.PrintRatio);
        Assert.True(sheet.Reversed);
        Assert.Equal(30, sheet.SideMinutes);
    }

    [Fact]
    public void A_side_that_is_too_short_is_exit_3_with_a_split_and_nothing_written()
    {
        using var folder = new TemporaryFolder();
        foreach (var name in new[] { "a", "b", "c" })
            folder.Write($"sounds/{name}.wav", WaveBytes.Pcm16(48_000, WaveBytes.Sine(440, 0.5, 30, 48_000)));
        var ran = Tool.RunIn(folder.Path, "send", "sounds", "--to", "pass1", "--side", "1.2");
        Assert.Equal(3, ran.ExitCode);
        Assert.Contains("side 1: a.wav", ran.Output, StringComparison.Ordinal);
        Assert.DoesNotContain(folder.Files, f => f.StartsWith("pass1", StringComparison.Ordinal));
    }

    [Fact]
    public void Ctrl_C_in_the_middle_is_130_and_leaves_nothing()
    {
        using var folder = new TemporaryFolder();
        Directory.CreateDirectory(folder["sounds"]);
        WaveBytes.WriteClick(folder["sounds/long.wav"], 48_000, 2, 5000);
        var process = Tool.StartIn(folder.Path, "send", "sounds", "--to", "pass1");
        // In the middle: some of the send is on the disk, under its temporary name.
        var patience = DateTime.UtcNow + Tool.Patience;
        while (!(Directory.Exists(folder["pass1"]) && Directory.GetFiles(folder["pass1"]).Any(f => new FileInfo(f).Length > 1_000_000)))
        {
            Assert.False(process.HasExited, "it ended before it could be interrupted");
            Assert.True(DateTime.UtcNow < patience, "nothing was written");
            Thread.Sleep(10);
        }
        Tool.Interrupt(process);
        var ran = Tool.Finish(process);
        Assert.Equal("offtape: Stopped. Nothing half-written was left behind.", ran.ErrorLines.Last());
        Assert.Equal(130, ran.ExitCode);
        Assert.Equal(["sounds/long.wav"], folder.Files);
    }

    internal static TemporaryFolder Sounds()
    {
        var folder = new TemporaryFolder();
        folder.Write("sounds/kick.wav", WaveBytes.Pcm16(48_000, WaveBytes.Sine(80, 0.8, 0.4, 48_000)));
        folder.Write("sounds/snare.wav", WaveBytes.Pcm16(48_000, WaveBytes.Sine(240, 0.4, 0.3, 48_000)));
        return folder;
    }
}
