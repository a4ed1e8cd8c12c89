using Offtape.AudioFiles;
using Offtape.Cli.Tests.Running;
using Offtape.Passes;
using Offtape.Simulator;
using Offtape.Testing;

namespace Offtape.Cli.Tests;

/// <summary>What is done in a studio goes into its log by itself, and the log answers what made a file. The files themselves are the truth.</summary>
public sealed class LogCommandTests : IClassFixture<LogCommandTests.PrintedStudio>
{
    private readonly PrintedStudio _studio;

    public LogCommandTests(PrintedStudio studio) => _studio = studio;

    /// <summary>A studio with one machine, one tape and a pass that came back.</summary>
    public sealed class PrintedStudio : IDisposable
    {
        public PrintedStudio()
        {
            Deck.Write(Folder["studio/sounds/kit.wav"], [Testing.Recordings.Phrase(11, RecordingKind.Drum, 4)], 48_000);
            Deck.Write(Folder["studio/sounds/marimba.wav"], [Testing.Recordings.Phrase(12, RecordingKind.Plucked, 5)], 48_000);
            Send = Tool.RunIn(
                Folder.Path,
                [
                    .. "send studio/sounds --to studio/pass1 --speed 9.525 --studio studio --machine corner-deck --tape LQ-1".Split(' '),
                    .. "--tape-side B --start-counter 12 --start 30 --pitch 1.5 --input-level 6 --noise-reduction off --tape-type I --json".Split(
                        ' '
                    ),
                ]
            );
            Deck.Print(Folder["studio/pass1/send.wav"], Folder["studio/captures/one.wav"], MachinePresets.TypicalDeck, 5);
            Return = Tool.RunIn(
                Folder["studio"],
                [.. "return captures/one.wav --pass pass1 --to takes --retime fit,shift --json".Split(' ')]
            );
        }

        internal TemporaryFolder Folder { get; } = new();

        internal Ran Send { get; }

        internal Ran Return { get; }

        public void Dispose() => Folder.Dispose();
    }

    [Fact]
    public void A_send_says_what_is_new_to_the_log()
    {
        Assert.Equal(0, _studio.Send.ExitCode);
        Assert.Equal(_studio.Folder["studio"], _studio.Send.Json.GetProperty("studio").GetString());
        Assert.Contains("new machine, corner-deck", _studio.Send.Error, StringComparison.Ordinal);
        Assert.Contains("new tape, LQ-1", _studio.Send.Error, StringComparison.Ordinal);
        Assert.Equal((0, ""), (_studio.Return.ExitCode, _studio.Return.Error));
    }

    [Theory]
    [InlineData("--machine corner-deck --speed 9.5", 1)]
    [InlineData("--tape lq-1 --tape-side b", 1)]
    [InlineData("--source arim", 1)]
    [InlineData("--source ki", 1)]
    [InlineData("--from 2020-01-01", 1)]
    [InlineData("--until 2020-01-01", 0)]
    [InlineData("--machine other", 0)]
    [InlineData("--speed 19.05", 0)]
    [InlineData("--source glass", 0)]
    public void Passes_are_found_by_what_is_known_of_them(string filter, int count)
    {
        var ran = Tool.RunIn(_studio.Folder["studio"], [.. $"log list --json {filter}".Split(' ')]);
        Assert.Equal(count > 0 ? 0 : 3, ran.ExitCode);
        Assert.Equal(count, ran.Json.GetProperty("passes").GetArrayLength());
        Assert.True(ran.Json.GetProperty("isAll").GetBoolean());
    }

    [Fact]
    public void A_pass_is_recalled_with_everything_that_was_set()
    {
        var passId = _studio.Send.Json.GetProperty("passId").GetString()!;
        var pass = Tool.RunIn(_studio.Folder["studio"], "log", "show", passId, "--json").Json;
        Assert.Equal("corner-deck", pass.GetProperty("machine").GetString());
        Assert.Equal("LQ-1", pass.GetProperty("tape").GetString());
        Assert.Equal("B", pass.GetProperty("side").GetString());
        Assert.Equal(12, pass.GetProperty("startCounter").GetDouble());
        Assert.Equal(30, pass.GetProperty("startSeconds").GetDouble());
        Assert.Equal(1.5, pass.GetProperty("pitchPercent").GetDouble());
        Assert.Equal("6", pass.GetProperty("inputLevel").GetString());
        Assert.Equal("off", pass.GetProperty("noiseReduction").GetString());
        Assert.Equal("I", pass.GetProperty("tapeType").GetString());
        Assert.Equal(1, pass.GetProperty("returnCount").GetInt32());
        Assert.Equal("pass1/pass.json", pass.GetProperty("sheet").GetString());
        Assert.Equal(3, Tool.RunIn(_studio.Folder["studio"], "log", "show", "none-such").ExitCode);
    }

    [Theory]
    [InlineData("takes/fit/kit-tape.wav", "take")]
    [InlineData("captures/one.wav", "capture")]
    [InlineData("pass1/send.wav", "send")]
    [InlineData("sounds/marimba.wav", "source")]
    public void A_file_is_known_by_its_content_under_any_name(string file, string kind)
    {
        using var elsewhere = new TemporaryFolder();
        File.Copy(_studio.Folder["studio/" + file], elsewhere["unnamed.bin"]);
        var ran = Tool.RunIn(elsewhere.Path, "log", "find", "unnamed.bin", "--json", "--studio", _studio.Folder["studio"]);
        Assert.Equal((0, ""), (ran.ExitCode, ran.Error));
        var found = ran.Json[0];
        Assert.Equal("content", found.GetProperty("knownBy").GetString());
        Assert.Equal(kind, found.GetProperty("kind").GetString());
        Assert.Equal(file, found.GetProperty("loggedAs").GetString());
        Assert.Equal("corner-deck", found.GetProperty("passes")[0].GetProperty("machine").GetString());
    }

    [Fact]
    public void A_take_whose_content_changed_is_known_by_what_it_says_itself()
    {
        using var elsewhere = new TemporaryFolder();
        using (var reader = AudioFile.Open(_studio.Folder["studio/takes/shift/kit-tape.wav"]))
        {
            Assert.Equal("kit.wav", TakeOrigin.Read(reader.Metadata)!.Source);
            // Half as loud, as a person might leave it.
            using var writer = AudioWriter.Create(elsewhere["quieter.wav"], reader.Format, reader.Metadata);
            var samples = new float[reader.FrameCount * reader.Format.ChannelCount];
            for (var done = 0; done < reader.FrameCount; )
                done += reader.Read(done, samples.AsSpan(done * reader.Format.ChannelCount));
            for (var i = 0; i < samples.Length; i++)
                samples[i] /= 2;
            writer.Write(samples);
            writer.Complete();
        }
        var found = Tool.RunIn(elsewhere.Path, "log", "find", "quieter.wav", "--json", "--studio", _studio.Folder["studio"]).Json[0];
        Assert.Equal("metadata", found.GetProperty("knownBy").GetString());
        Assert.Equal("kit.wav", found.GetProperty("source").GetString());
        Assert.Equal("shift", found.GetProperty("retiming").GetString());
        Assert.Equal("LQ-1", found.GetProperty("passes")[0].GetProperty("tape").GetString());
    }

    [Fact]
    public void A_strange_file_is_exit_3_and_says_so()
    {
        using var elsewhere = new TemporaryFolder();
        elsewhere.Write("strange.wav", [1, 2, 3]);
        var ran = Tool.RunIn(elsewhere.Path, "log", "find", "strange.wav", "--studio", _studio.Folder["studio"]);
        Assert.Equal(3, ran.ExitCode);
        Assert.Contains("does not know its content", ran.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_log_that_cannot_be_written_stops_no_send()
    {
        using var folder = new TemporaryFolder();
        Deck.Write(folder["kit.wav"], [Testing.Recordings.Phrase(11, RecordingKind.Drum, 2)], 48_000);
        folder.Write("studio/studio.db", [.. Enumerable.Repeat((byte)'x', 8192)]);
        var ran = Tool.RunIn(folder.Path, "send", "kit.wav", "--to", "pass1", "--studio", "studio", "--json");
        Assert.Equal(0, ran.ExitCode);
        Assert.Contains("note: This is not in the log of the studio", Assert.Single(ran.ErrorLines), StringComparison.Ordinal);
        Assert.Equal(System.Text.Json.JsonValueKind.Null, ran.Json.GetProperty("studio").ValueKind);
        Assert.True(File.Exists(folder["pass1/send.wav"]));
    }

    [Fact]
    public void Without_a_studio_nothing_is_made_and_nothing_said()
    {
        using var folder = new TemporaryFolder();
        Deck.Write(folder["kit.wav"], [Testing.Recordings.Phrase(11, RecordingKind.Drum, 2)], 48_000);
        var ran = Tool.RunIn(folder.Path, "send", "kit.wav", "--to", "pass1", "--machine", "deck", "--json");
        Assert.Equal((0, ""), (ran.ExitCode, ran.Error));
        Assert.Equal(["kit.wav", "pass1/pass.json", "pass1/send.wav"], folder.Files);
        Assert.Equal("deck", PassSheet.Load(folder["pass1"]).Run!.Machine);
        Assert.Equal(2, Tool.RunIn(folder.Path, "log", "list").ExitCode);
    }

    [Fact]
    public void Verifying_and_exporting_leave_everything_as_it_is()
    {
        var verified = Tool.RunIn(_studio.Folder["studio"], "log", "verify", "--json");
        Assert.Equal(0, verified.ExitCode);
        // Two sources, send and sheet, capture, two takes in two retimings, and the sheet of the return.
        Assert.Equal(10, verified.Json.GetProperty("checkedCount").GetInt32());
        Assert.True(verified.Json.GetProperty("isFine").GetBoolean());
        using var elsewhere = new TemporaryFolder();
        var exported = Tool.RunIn(elsewhere.Path, "log", "export", "--to", "export", "--studio", _studio.Folder["studio"], "--json");
        Assert.Equal(0, exported.ExitCode);
        Assert.Contains("export/log.csv", elsewhere.Files);
        Assert.Contains("corner-deck", File.ReadAllText(elsewhere["export/log.csv"]), StringComparison.Ordinal);
    }
}
