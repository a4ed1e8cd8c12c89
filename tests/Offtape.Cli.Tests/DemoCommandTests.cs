using System.Text.Json;
using Offtape.Cli.Tests.Running;
using Offtape.Passes;
using Offtape.Testing;

namespace Offtape.Cli.Tests;

/// <summary>The demo: the whole job on the program's own piece, with the truth known.</summary>
public sealed class DemoCommandTests(DemoCommandTests.Played demo) : IClassFixture<DemoCommandTests.Played>
{
    /// <summary>One demo for all tests here.</summary>
    public sealed class Played : IDisposable
    {
        public Played()
        {
            var ran = Tool.RunIn(Folder.Path, "demo", "--json");
            (ExitCode, Error, Json) = (ran.ExitCode, ran.Error, ran.Json);
        }

        internal TemporaryFolder Folder { get; } = new();

        public int ExitCode { get; }

        public string Error { get; }

        public JsonElement Json { get; }

        internal string this[string file] => Folder[$"lantern-quay/{file}"];

        public void Dispose() => Folder.Dispose();
    }

    [Fact]
    public void Every_sound_comes_back_from_both_machines_within_a_millisecond_of_the_truth()
    {
        Assert.Equal((0, ""), (demo.ExitCode, demo.Error));
        var machines = demo.Json.GetProperty("machines").EnumerateArray().ToArray();
        Assert.Equal(2, machines.Length);
        foreach (var machine in machines)
        {
            var takes = machine.GetProperty("takes").EnumerateArray().ToArray();
            Assert.Equal(4, takes.Length);
            foreach (var take in takes)
                Measured.AtMost(
                    1,
                    Math.Abs(take.GetProperty("placeErrorMilliseconds").GetDouble()),
                    $"{take.GetProperty("source")} on {machine.GetProperty("name")}, ms"
                );
        }
    }

    [Fact]
    public void It_leaves_sources_pass_returns_takes_and_a_page()
    {
        foreach (var take in demo.Json.GetProperty("machines").EnumerateArray().SelectMany(m => m.GetProperty("takes").EnumerateArray()))
        {
            Assert.True(File.Exists(demo["sources/" + take.GetProperty("source").GetString()]));
            Assert.Equal(["fit", "lock", "shift", "steady"], take.GetProperty("files").EnumerateObject().Select(f => f.Name).Order());
            Assert.All(take.GetProperty("files").EnumerateObject(), f => Assert.True(File.Exists(demo[f.Value.GetString()!])));
        }
        Assert.Equal(4, PassSheet.Load(demo["pass/pass.json"]).Items.Count);
        var page = File.ReadAllText(demo["page.html"]);
        // An overlay, an attack, a time map and what is left for each of eight takes, each drawn for four widths of screens.
        Assert.Equal(32, page.Split("<figure").Length - 1);
        Assert.Equal(128, page.Split("<svg xmlns").Length - 1);
        Assert.DoesNotContain("<script", page, StringComparison.OrdinalIgnoreCase);
        foreach (var machine in demo.Json.GetProperty("machines").EnumerateArray())
            Assert.Contains(machine.GetProperty("name").GetString()!, page, StringComparison.Ordinal);
    }

    [Fact]
    public void The_takes_begin_where_their_sources_do_and_are_as_long()
    {
        var source = SoundFile.Read(demo["sources/marimba-figure.wav"]);
        var take = SoundFile.Read(demo["takes/kitchen-deck/fit/marimba-figure-tape.wav"]);
        Assert.Equal(source.Channels.Length, take.Channels.Length);
        Assert.Equal(source.SampleRateHz, take.SampleRateHz);
        Assert.Equal(source.Channels[0].Length, take.Channels[0].Length);
    }

    [Fact]
    public void The_commands_it_names_do_what_it_did()
    {
        using var elsewhere = new TemporaryFolder();
        foreach (var file in Directory.GetFiles(demo["sources"]))
            elsewhere.Write("sources/" + Path.GetFileName(file), File.ReadAllBytes(file));
        elsewhere.Write("returns/harbour-reel.wav", File.ReadAllBytes(demo["returns/harbour-reel.wav"]));
        // The sheet's own identity is new for each send: the pass that was printed is the demo's.
        elsewhere.Write("pass/pass.json", File.ReadAllBytes(demo["pass/pass.json"]));
        var command = demo.Json.GetProperty("commands")[2].GetString()!;
        var ran = Tool.RunIn(elsewhere.Path, command.Split(' ')[1..]);
        Assert.Equal(0, ran.ExitCode);
        const string take = "takes/harbour-reel/fit/bowed-glass-tape.wav";
        Assert.Equal(File.ReadAllBytes(demo[take]), File.ReadAllBytes(elsewhere[take]));
    }

    [Fact]
    public void What_lies_in_the_folder_and_is_not_the_demos_is_not_touched()
    {
        using var folder = new TemporaryFolder();
        folder.Write("mine/notes.txt", "mine"u8.ToArray());
        var ran = Tool.RunIn(folder.Path, "demo", "--to", "mine");
        Assert.Contains("is not a demo's", ran.OneErrorLine, StringComparison.Ordinal);
        Assert.Equal(5, ran.ExitCode);
        Assert.Equal(["mine/notes.txt"], folder.Files);
    }

    [Fact]
    public void Ctrl_C_leaves_nothing()
    {
        using var folder = new TemporaryFolder();
        var process = Tool.StartIn(folder.Path, "demo");
        var patience = DateTime.UtcNow + Tool.Patience;
        while (folder.Files.Count == 0)
        {
            Assert.False(process.HasExited, "it ended before it could be interrupted");
            Assert.True(DateTime.UtcNow < patience, "nothing was written");
            Thread.Sleep(20);
        }
        Tool.Interrupt(process);
        var ran = Tool.Finish(process);
        Assert.Equal("offtape: Stopped. Nothing half-written was left behind.", ran.OneErrorLine);
        Assert.Equal(130, ran.ExitCode);
        Assert.Empty(Directory.GetFileSystemEntries(folder.Path));
    }
}
