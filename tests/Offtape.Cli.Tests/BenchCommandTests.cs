using Offtape.Cli.Tests.Running;

namespace Offtape.Cli.Tests;

/// <summary>The verbs <c>bench line-up</c>, <c>bench signals</c> and <c>bench read</c>: files, exit codes and words.</summary>
public sealed class BenchCommandTests
{
    [Fact]
    public void Line_up_writes_its_loop_and_says_how()
    {
        using var folder = new TemporaryFolder();
        var made = Tool.Run("bench", "line-up", "--to", folder.Path, "--tone", "315", "--level", "-14");
        Assert.Equal(0, made.ExitCode);
        Assert.True(File.Exists(Path.Combine(folder.Path, "lineup.wav")));
        Assert.Contains("315 Hz at −14.0 dBFS", made.Output, StringComparison.Ordinal);
        Assert.Contains("headphones", made.Output, StringComparison.Ordinal);
        Assert.Equal(5, Tool.Run("bench", "line-up", "--to", folder.Path).ExitCode);
        Assert.Equal(2, Tool.Run("bench", "line-up").ExitCode);
    }

    [Fact]
    public void Signals_writes_sound_and_sheet_and_read_finds_them_again()
    {
        using var folder = new TemporaryFolder();
        var made = Tool.Run("bench", "signals", "--to", folder.Path, "--parts", "level,silence", "--json").Json;
        Assert.Equal(
            ["signalFile", "sheetFile", "sheetId", "sampleRateHz", "channelCount", "operatingLevelDbfs", "lengthSeconds", "parts", "steps"],
            made.EnumerateObject().Select(p => p.Name)
        );
        var report = Path.Combine(folder.Path, "report");
        var read = Tool.Run("bench", "read", made.GetProperty("signalFile").GetString()!, "--how", "rewound", "--to", report, "--json");
        Assert.Equal(0, read.ExitCode);
        Assert.Equal("rewound", read.Json.GetProperty("how").GetString());
        Assert.All(read.Json.GetProperty("parts").EnumerateArray(), p => Assert.True(p.GetProperty("heard").GetBoolean()));
        Assert.True(File.Exists(Path.Combine(report, "bench.json")));
        Assert.True(File.Exists(Path.Combine(report, "bench.html")));
    }

    [Fact]
    public void A_level_at_which_the_signal_would_clip_is_wrong_usage()
    {
        using var folder = new TemporaryFolder();
        var made = Tool.Run("bench", "signals", "--to", folder.Path, "--level", "-6");
        Assert.Equal(2, made.ExitCode);
        Assert.Contains("clip", made.Error, StringComparison.Ordinal);
        Assert.Empty(Directory.GetFiles(folder.Path));
    }

    [Fact]
    public void Without_the_check_signal_read_ends_with_3_and_states_nothing()
    {
        using var folder = new TemporaryFolder();
        var file = folder.Write("tone.wav", WaveBytes.Pcm16(48_000, WaveBytes.Sine(1000, 0.1, 3, 48_000)));
        var read = Tool.Run("bench", "read", file, "--how", "off-tape", "--to", Path.Combine(folder.Path, "report"), "--json");
        Assert.Equal(3, read.ExitCode);
        Assert.Contains("not in this capture", read.Json.GetProperty("summary").GetString()!, StringComparison.Ordinal);
        Assert.All(
            read.Json.GetProperty("readings").EnumerateArray(),
            r => Assert.Equal(System.Text.Json.JsonValueKind.Null, r.GetProperty("value").ValueKind)
        );
    }

    [Fact]
    public void Compare_says_what_changed_and_what_it_cannot_read()
    {
        using var folder = new TemporaryFolder();
        var made = Tool.Run("bench", "signals", "--to", folder.Path, "--parts", "level,silence", "--json").Json;
        var signal = made.GetProperty("signalFile").GetString()!;
        string Read(string name, string date)
        {
            var report = Path.Combine(folder.Path, name);
            Assert.Equal(
                0,
                Tool.Run("bench", "read", signal, "--how", "rewound", "--to", report, "--date", date, "--machine", "deck").ExitCode
            );
            return report;
        }
        var (spring, autumn) = (Read("spring", "2026-04-02"), Read("autumn", "2026-10-03"));
        var page = Path.Combine(folder.Path, "changes");
        var same = Tool.Run("bench", "compare", autumn, spring, "--to", page, "--json");
        Assert.Equal(0, same.ExitCode);
        Assert.Equal("2026-04-02", same.Json.GetProperty("reports")[0].GetProperty("label").GetString());
        Assert.True(File.Exists(Path.Combine(page, "compare.html")));
        Assert.Equal(5, Tool.Run("bench", "compare", autumn, spring, "--to", page).ExitCode);
        Assert.Contains("None of", Tool.Run("bench", "compare", autumn, spring).Output, StringComparison.Ordinal);
        Assert.Equal(2, Tool.Run("bench", "compare", autumn).ExitCode);
        Assert.Equal(2, Tool.Run("bench", "compare").ExitCode);
        Assert.Equal(4, Tool.Run("bench", "compare", autumn, Path.Combine(folder.Path, "bench-sheet.json")).ExitCode);
        Assert.Equal(4, Tool.Run("bench", "compare", autumn, Path.Combine(folder.Path, "none")).ExitCode);
    }

    [Theory]
    [InlineData("--to", "x")]
    [InlineData("--how", "off-tape")]
    [InlineData("--how", "sideways", "--to", "x")]
    [InlineData("--how", "rewound", "--to", "x", "--limit", "balance")]
    [InlineData("--how", "rewound", "--to", "x", "--date", "yesterday")]
    public void What_read_needs_is_asked_for(params string[] options)
    {
        using var folder = new TemporaryFolder();
        var file = folder.Write("tone.wav", WaveBytes.Pcm16(48_000, new float[4800]));
        Assert.Equal(2, Tool.Run(["bench", "read", file, .. options]).ExitCode);
    }
}
