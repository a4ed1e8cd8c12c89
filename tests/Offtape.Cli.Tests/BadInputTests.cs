using System.Text;
using Offtape.Cli.Tests.Running;

namespace Offtape.Cli.Tests;

/// <summary>What goes wrong on a user's disk: the exit code, one line, and nothing half-written.</summary>
public sealed class BadInputTests
{
    // A 1 MB disk in a mount namespace of its own; where a machine forbids that, a limit on file size, which fails the same writes.
    private const string OnASmallDisk = """
        disk="$PWD/disk"
        if unshare -rm true 2>/dev/null; then
            exec unshare -rm sh -c 'mount -t tmpfs -o size=1m none "$0" && "$@"; code=$?; ls -A "$0" >left.txt; exit $code' "$disk" "$@"
        fi
        trap '' XFSZ
        ulimit -f 2000
        "$@"; code=$?; ls -A "$disk" >left.txt; exit $code
        """;

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
        var ran = Tool.RunThroughShell(OnASmallDisk, folder.Path, "send", "sound.wav", "--to", "disk/out");
        Assert.Equal("", ran.Output);
        Assert.Contains(
            "the disk is full",
            Assert.Single(ran.ErrorLines, l => l.StartsWith("offtape:", StringComparison.Ordinal)),
            StringComparison.Ordinal
        );
        Assert.Equal(5, ran.ExitCode);
        var left = File.ReadAllText(folder["left.txt"]).Trim();
        Assert.True(left is "" or "out", left);
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
        Expect(4, "the folder holds no audio files", folder, "send", "notes", "--to", "out");
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
