using System.Text;
using Offtape.Cli.Tests.Running;

namespace Offtape.Cli.Tests;

/// <summary>What goes wrong on a user's disk: the exit code, one line, and nothing half-written.</summary>
public sealed class BadInputTests
{
    [Theory]
    [InlineData("send", "gone.wav", "--to", "out")]
    [InlineData("loudness", "gone.wav")]
    public void No_such_file_is_exit_4(params string[] arguments)
    {
        using var folder = new TemporaryFolder();
        Expect(4, "Cannot read \"gone.wav\": there is no such file.", folder, arguments);
        Assert.Empty(folder.Files);
    }

    [Theory]
    [InlineData("send", "notes.wav", "--to", "out")]
    [InlineData("loudness", "notes.wav")]
    public void A_text_file_called_wav_is_exit_4(params string[] arguments)
    {
        using var folder = new TemporaryFolder();
        folder.Write("notes.wav", Encoding.UTF8.GetBytes("Side A from 012: kit, marimba, bowed glass. Side B is empty.\n"));
        Expect(4, "Cannot read \"notes.wav\"", folder, arguments);
        Assert.Equal(["notes.wav"], folder.Files);
    }

    [Theory]
    [InlineData("send", "empty.wav", "--to", "out")]
    [InlineData("loudness", "empty.wav")]
    public void Zero_length_audio_is_exit_4(params string[] arguments)
    {
        using var folder = new TemporaryFolder();
        folder.Write(
            "empty.wav",
            WaveBytes.Pcm16(
                48_000,
                [
                    [],
                ]
            )
        );
        Expect(4, "Cannot read \"empty.wav\"", folder, arguments);
        Assert.Equal(["empty.wav"], folder.Files);
    }

    [Fact]
    public void A_target_that_exists_is_exit_5_and_stays_as_it_was()
    {
        using var folder = SendCommandTests.Sounds();
        folder.Write("out/send.wav", "mine"u8.ToArray());
        var line = Expect(5, "exists already", folder, "send", "sounds", "--to", "out");
        Assert.Contains("--force", line, StringComparison.Ordinal);
        Assert.Equal("mine", File.ReadAllText(folder["out/send.wav"]));
        Assert.Equal(["out/send.wav", "sounds/kick.wav", "sounds/snare.wav"], folder.Files);

        Assert.Equal(0, Tool.RunIn(folder.Path, "send", "sounds", "--to", "out", "--force").ExitCode);
        Assert.NotEqual("mine", File.ReadAllText(folder["out/send.wav"]));
    }

    [Fact]
    public void A_full_disk_is_exit_5_and_nothing_half_written_stays()
    {
        using var folder = new TemporaryFolder();
        Directory.CreateDirectory(folder["disk"]);
        // About 3 MB of send for a disk of 1 MB.
        folder.Write("sound.wav", WaveBytes.Pcm16(48_000, WaveBytes.Sine(440, 0.5, 10, 48_000)));
        var ran = Tool.RunThroughShell(Hardship.SmallDisk, folder.Path, "send", "sound.wav", "--to", "disk/out");
        Assert.Equal("", ran.Output);
        Assert.Contains(
            "the disk is full",
            Assert.Single(ran.ErrorLines, l => l.StartsWith("offtape:", StringComparison.Ordinal)),
            StringComparison.Ordinal
        );
        Assert.Equal(5, ran.ExitCode);
        var left = File.ReadAllText(folder["left.txt"]).Trim();
        Assert.Equal("", left);
    }

    [Theory]
    [InlineData("send", "sounds", "--to", "out")]
    [InlineData("loudness", "sounds", "--json")]
    [InlineData("--help")]
    public void A_full_disk_under_the_output_is_exit_5(params string[] arguments)
    {
        using var folder = SendCommandTests.Sounds();
        var ran = Tool.RunThroughShell("\"$@\" >/dev/full", folder.Path, arguments);
        Assert.Equal(
            "offtape: Cannot write \"standard output\": the disk is full. Make room, or choose another disk with --to.",
            Assert.Single(ran.ErrorLines)
        );
        Assert.Equal(5, ran.ExitCode);
    }

    [Theory]
    [InlineData("send", "sounds", "--to", "locked")]
    [InlineData("send", "sounds", "--to", "locked/out")]
    [InlineData("demo", "--to", "locked/out")]
    public void A_folder_that_may_not_be_written_to_is_exit_5_and_stays_empty(params string[] arguments)
    {
        using var folder = SendCommandTests.Sounds();
        Directory.CreateDirectory(folder["locked"]);
        var ran = Tool.RunThroughShell(Hardship.LockedFolder, folder.Path, arguments);
        Assert.EndsWith(
            "the folder or file may not be written to. Choose another folder with --to.",
            ran.OneErrorLine,
            StringComparison.Ordinal
        );
        Assert.Equal(5, ran.ExitCode);
        Assert.Empty(Directory.EnumerateFileSystemEntries(folder["locked"]));
    }

    [Theory]
    [InlineData("send", "sounds", "--to", "stopped")]
    [InlineData("demo", "--to", "stopped")]
    public void Ctrl_C_in_the_middle_is_130_and_leaves_nothing_behind(params string[] arguments)
    {
        using var folder = new TemporaryFolder();
        Directory.CreateDirectory(folder["sounds"]);
        // Half an hour: long enough to be in the middle of something on any machine.
        WaveBytes.WriteClick(folder["sounds/long.wav"], 48_000, 2, 1800);
        var process = Tool.StartIn(folder.Path, arguments);
        Tool.WaitUntilAtWork(process);
        Tool.Interrupt(process);
        var ran = Tool.Finish(process);
        Assert.Equal("offtape: Stopped. Nothing half-written was left behind.", ran.OneErrorLine);
        Assert.Equal(130, ran.ExitCode);
        Assert.Equal(["sounds/long.wav"], folder.Files);
    }

    [Fact]
    public void A_read_only_folder_is_exit_5()
    {
        using var folder = SendCommandTests.Sounds();
        // /proc refuses new folders to every user, root too.
        var line = Expect(5, "Cannot write", folder, "send", "sounds", "--to", "/proc/offtape");
        Assert.DoesNotContain("inside Offtape", line, StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_without_audio_is_exit_4()
    {
        using var folder = new TemporaryFolder();
        folder.Write("notes/readme.txt", "nothing to hear"u8.ToArray());
        Expect(4, "this folder holds no audio files", folder, "send", "notes", "--to", "out");
    }

    private static string Expect(int exitCode, string words, TemporaryFolder folder, params string[] arguments)
    {
        var ran = Tool.RunIn(folder.Path, arguments);
        var line = ran.OneErrorLine;
        Assert.Contains(words, line, StringComparison.Ordinal);
        Assert.Equal(exitCode, ran.ExitCode);
        return line;
    }
}
