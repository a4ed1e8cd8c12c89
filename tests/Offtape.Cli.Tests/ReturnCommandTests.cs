using System.Text.Json;
using Offtape.Cli.Tests.Running;
using Offtape.Passes;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Cli.Tests;

/// <summary>The whole job by the command: send, a simulated machine, return. The truth is the machine's own time map.</summary>
public sealed class ReturnCommandTests : IClassFixture<ReturnCommandTests.PrintedPass>
{
    private readonly PrintedPass _pass;

    public ReturnCommandTests(PrintedPass pass) => _pass = pass;

    /// <summary>Two sounds, sent and printed once for all tests here.</summary>
    public sealed class PrintedPass : IDisposable
    {
        public PrintedPass()
        {
            Deck.Write(Folder["sounds/kit.wav"], [Testing.Recordings.Phrase(11, RecordingKind.Drum, 4)], 48_000);
            Deck.Write(Folder["sounds/guitar.wav"], [Testing.Recordings.Phrase(12, RecordingKind.Plucked, 5)], 48_000);
            var ran = Tool.RunIn(Folder.Path, "send", "sounds", "--to", "pass1");
            Assert.Equal(0, ran.ExitCode);
            Sheet = PassSheet.Load(Folder["pass1/pass.json"]);
            Machine = Deck.Print(Folder["pass1/send.wav"], Folder["capture.wav"], MachinePresets.TypicalDeck, 5);
        }

        internal TemporaryFolder Folder { get; } = new();

        internal PassSheet Sheet { get; }

        internal SimulatedReturn Machine { get; }

        public void Dispose() => Folder.Dispose();
    }

    [Fact]
    public void Every_sound_is_found_where_the_machine_put_it()
    {
        var ran = Tool.RunIn(
            _pass.Folder.Path,
            "return",
            "capture.wav",
            "--pass",
            "pass1",
            "--to",
            "found",
            "--retime",
            "fit,shift",
            "--json"
        );
        Assert.Equal((0, ""), (ran.ExitCode, ran.Error));
        var takes = ran.Json.GetProperty("takes").EnumerateArray().ToArray();
        Assert.Equal(["guitar.wav", "kit.wav"], takes.Select(t => t.GetProperty("source").GetString()).Order());
        foreach (var take in takes)
        {
            Assert.True(take.GetProperty("found").GetBoolean());
            var item = _pass.Sheet.Items.Single(i => i.Source == take.GetProperty("source").GetString());
            // The figure that is promised for a typical deck is 1 ms always.
            Measured.Within(
                _pass.Machine.TruthPerChannel[0].CaptureAt(item.StartSeconds),
                take.GetProperty("captureStartSeconds").GetDouble(),
                1e-3,
                $"place of {item.Source} in seconds"
            );
        }
        Assert.Equal(File.ReadAllText(_pass.Folder["found/return.json"]).Trim(), ran.Output.Trim());
        foreach (var name in new[] { "fit/kit-tape.wav", "shift/kit-tape.wav", "fit/guitar-tape.wav", "shift/guitar-tape.wav" })
            Assert.True(File.Exists(_pass.Folder["found/" + name]), name);
    }

    [Fact]
    public void Its_json_has_the_fields_of_the_contract()
    {
        var json = Tool.RunIn(_pass.Folder.Path, "return", "capture.wav", "--pass", "pass1", "--to", "shape", "--json").Json;
        AssertHas(json, "formatVersion", "captures", "retime", "passes", "takes", "unmatchedCaptures");
        AssertHas(json.GetProperty("captures")[0], "file", "sampleRateHz");
        AssertHas(
            json.GetProperty("passes")[0],
            "number passId capture captureStartSeconds captureEndSeconds speedRatio reversed complete".Split(' ')
        );
        var take = json.GetProperty("takes")[0];
        AssertHas(
            take,
            (
                "source capture pass found confidence complete endSourceSeconds file files captureStartSeconds speedRatio polarity channelOrder "
                + "gainDb interchannelDelayMicroseconds noiseFloorDbfs timeMap wobblePeakCents dropouts warnings"
            ).Split(' ')
        );
        AssertHas(take.GetProperty("timeMap"), "sourceSeconds", "captureSeconds", "sigmaMilliseconds");
        Assert.Equal("steady", json.GetProperty("retime").GetString());
    }

    [Fact]
    public void The_words_say_how_many_were_found_and_where_the_takes_are()
    {
        var ran = Tool.RunIn(_pass.Folder.Path, "return", "capture.wav", "--pass", "pass1", "--to", "words");
        Assert.Equal(0, ran.ExitCode);
        Assert.Contains("Found 2 of 2. The takes are in words", ran.Output.ReplaceLineEndings(" "), StringComparison.Ordinal);
        Assert.Contains("steady/kit-tape.wav", ran.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_capture_at_another_sample_rate_works()
    {
        Deck.Print(
            _pass.Folder["pass1/send.wav"],
            _pass.Folder["capture96.wav"],
            MachinePresets.TypicalDeck,
            6,
            new RunOptions { CaptureSampleRateHz = 96_000 }
        );
        var ran = Tool.RunIn(_pass.Folder.Path, "return", "capture96.wav", "--pass", "pass1", "--to", "rate", "--json");
        Assert.Equal(0, ran.ExitCode);
        Assert.Equal(96_000, ran.Json.GetProperty("captures")[0].GetProperty("sampleRateHz").GetInt32());
        Assert.All(ran.Json.GetProperty("takes").EnumerateArray(), t => Assert.True(t.GetProperty("found").GetBoolean()));
    }

    [Fact]
    public void A_capture_shorter_than_a_source_is_exit_3()
    {
        var capture = SoundFile.Read(_pass.Folder["capture.wav"]);
        Deck.Write(_pass.Folder["short.wav"], [.. capture.Channels.Select(c => c[..(2 * capture.SampleRateHz)])], capture.SampleRateHz);
        var ran = Tool.RunIn(
            _pass.Folder.Path,
            "return",
            "short.wav",
            "--source",
            "sounds/kit.wav",
            "sounds/guitar.wav",
            "--to",
            "short",
            "--json"
        );
        Assert.Equal(3, ran.ExitCode);
        Assert.All(ran.Json.GetProperty("takes").EnumerateArray(), t => Assert.False(t.GetProperty("found").GetBoolean()));
    }

    [Fact]
    public void A_sheet_of_another_pass_is_exit_3_and_told()
    {
        Deck.Write(_pass.Folder["other/sitar.wav"], [Testing.Recordings.StrangerPhrase(3, RecordingKind.Plucked, 4)], 48_000);
        Assert.Equal(0, Tool.RunIn(_pass.Folder.Path, "send", "other", "--to", "pass2").ExitCode);
        var ran = Tool.RunIn(_pass.Folder.Path, "return", "capture.wav", "--pass", "pass2", "--to", "strange", "--json");
        Assert.Equal(3, ran.ExitCode);
        Assert.Contains("other-pass", ran.Json.GetProperty("warnings").EnumerateArray().Select(w => w.GetProperty("code").GetString()));
        Assert.False(ran.Json.GetProperty("takes")[0].GetProperty("found").GetBoolean());
    }

    [Fact]
    public void Takes_that_exist_are_exit_5_and_none_is_replaced_without_force()
    {
        Assert.Equal(0, Tool.RunIn(_pass.Folder.Path, "return", "capture.wav", "--pass", "pass1", "--to", "twice").ExitCode);
        var before = File.GetLastWriteTimeUtc(_pass.Folder["twice/steady/kit-tape.wav"]);
        var again = Tool.RunIn(_pass.Folder.Path, "return", "capture.wav", "--pass", "pass1", "--to", "twice");
        Assert.Contains("exists already", again.OneErrorLine, StringComparison.Ordinal);
        Assert.Equal(5, again.ExitCode);
        Assert.Equal(before, File.GetLastWriteTimeUtc(_pass.Folder["twice/steady/kit-tape.wav"]));
        Assert.Equal(0, Tool.RunIn(_pass.Folder.Path, "return", "capture.wav", "--pass", "pass1", "--to", "twice", "--force").ExitCode);
    }

    [Theory]
    [InlineData("return needs --pass or --source.", "return", "capture.wav", "--to", "x")]
    [InlineData("return needs --to DIR.", "return", "capture.wav", "--pass", "pass1")]
    [InlineData("--retime is steady, shift, fit or lock", "return", "capture.wav", "--pass", "pass1", "--to", "x", "--retime", "iron")]
    [InlineData("--match-level", "return", "capture.wav", "--pass", "pass1", "--to", "x", "--retime", "shift", "--match-level")]
    [InlineData("--channels takes channel numbers", "return", "capture.wav", "--pass", "pass1", "--to", "x", "--channels", "0")]
    [InlineData("--channels asks for channel 9", "return", "capture.wav", "--pass", "pass1", "--to", "x", "--channels", "9")]
    public void Options_that_contradict_are_exit_2(string words, params string[] arguments)
    {
        var ran = Tool.RunIn(_pass.Folder.Path, arguments);
        Assert.Contains(words, ran.OneErrorLine, StringComparison.Ordinal);
        Assert.Equal(2, ran.ExitCode);
        Assert.False(Directory.Exists(_pass.Folder["x"]));
    }

    [Theory]
    [InlineData("gone.wav")]
    [InlineData("notes.wav")]
    public void A_capture_that_cannot_be_read_is_exit_4(string capture)
    {
        _pass.Folder.Write("notes.wav", "side A from 012"u8.ToArray());
        var ran = Tool.RunIn(_pass.Folder.Path, "return", capture, "--pass", "pass1", "--to", "unread");
        Assert.Contains($"Cannot read \"{capture}\"", ran.OneErrorLine, StringComparison.Ordinal);
        Assert.Equal(4, ran.ExitCode);
        Assert.False(Directory.Exists(_pass.Folder["unread"]));
    }

    [Fact]
    public void What_is_to_be_said_of_several_takes_is_said_once()
    {
        var capture = SoundFile.Read(_pass.Folder["capture.wav"]);
        Deck.Write(_pass.Folder["turned.wav"], [.. capture.Channels.Select(c => Array.ConvertAll(c, v => -v))], capture.SampleRateHz);
        var ran = Tool.RunIn(_pass.Folder.Path, "return", "turned.wav", "--pass", "pass1", "--to", "turned");
        Assert.Equal(0, ran.ExitCode);
        Assert.StartsWith(
            "guitar.wav and kit.wav: The return is upside down.",
            Assert.Single(ran.Output.Split('\n'), l => l.Contains("upside down", StringComparison.Ordinal)),
            StringComparison.Ordinal
        );
    }

    [Fact]
    public void A_full_disk_is_exit_5_and_nothing_half_written_stays()
    {
        Directory.CreateDirectory(_pass.Folder["disk"]);
        // Two takes of about 2 MB for a disk of 1 MB: both threads fail, and one line tells it.
        var ran = Tool.RunThroughShell(
            Hardship.SmallDisk,
            _pass.Folder.Path,
            ["return", "capture.wav", "--pass", "pass1", "--to", "disk/full", "--tail", "8"]
        );
        Assert.EndsWith("the disk is full. Make room, or choose another disk with --to.", ran.OneErrorLine, StringComparison.Ordinal);
        Assert.Equal(5, ran.ExitCode);
        Assert.Equal("", File.ReadAllText(_pass.Folder["left.txt"]).Trim());
    }

    [Fact]
    public void A_source_that_was_renamed_is_known_by_its_content()
    {
        using var folder = new TemporaryFolder();
        foreach (var file in new[] { "pass.json", "send.wav" })
            folder.Write("desk/" + file, File.ReadAllBytes(_pass.Folder["pass1/" + file]));
        folder.Write("desk/kit final.wav", File.ReadAllBytes(_pass.Folder["sounds/kit.wav"]));
        folder.Write("desk/guitar.wav", File.ReadAllBytes(_pass.Folder["sounds/guitar.wav"]));
        folder.Write("capture.wav", File.ReadAllBytes(_pass.Folder["capture.wav"]));
        var ran = Tool.RunIn(folder.Path, "return", "capture.wav", "--pass", "desk", "--to", "takes");
        Assert.Equal(0, ran.ExitCode);
        Assert.Equal(
            "note: kit.wav is not where it was; kit final.wav beside the sheet has the same content and is used.",
            Assert.Single(ran.ErrorLines)
        );
        Assert.True(File.Exists(folder["takes/steady/kit-tape.wav"]));

        // Neither by name nor by content: as it stands in the send.
        File.Delete(folder["desk/kit final.wav"]);
        var bySend = Tool.RunIn(folder.Path, "return", "capture.wav", "--pass", "desk", "--to", "by-send");
        Assert.Equal(0, bySend.ExitCode);
        Assert.Equal("note: kit.wav is not where it was. Comparing with how it stands in the send.", Assert.Single(bySend.ErrorLines));
    }

    [Fact]
    public void Ctrl_C_in_the_middle_is_130_and_leaves_nothing_half_written()
    {
        // Long enough to be in the middle of something on any machine.
        WaveBytes.WriteClick(_pass.Folder["long.wav"], 48_000, 2, 3600);
        var process = Tool.StartIn(_pass.Folder.Path, "return", "capture.wav", "long.wav", "--pass", "pass1", "--to", "stopped");
        Tool.WaitUntilAtWork(process);
        Tool.Interrupt(process);
        var ran = Tool.Finish(process);
        Assert.Equal("offtape: Stopped. Nothing half-written was left behind.", ran.OneErrorLine);
        Assert.Equal(130, ran.ExitCode);
        Assert.All(
            _pass.Folder.Files.Where(f => f.StartsWith("stopped/", StringComparison.Ordinal)),
            f => Assert.EndsWith("-tape.wav", f, StringComparison.Ordinal)
        );
    }

    private static void AssertHas(JsonElement json, params string[] names) =>
        Assert.Empty(names.Except(json.EnumerateObject().Select(p => p.Name)));
}
