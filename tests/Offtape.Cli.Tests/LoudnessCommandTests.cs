using System.Text.Json;
using Offtape.Cli.Tests.Running;
using Offtape.Testing;

namespace Offtape.Cli.Tests;

/// <summary>The <c>loudness</c> verb: its JSON is the contract, its numbers the standard's.</summary>
public sealed class LoudnessCommandTests
{
    /// <summary>
    /// EBU Tech 3341, signal 1: a stereo sine of 1 kHz at −23 dBFS for 20 s reads −23.0 LUFS, integrated, short-term and momentary;
    /// tolerance 0.1 LU, the document's own.
    /// </summary>
    [Fact]
    public void A_steady_tone_reads_what_EBU_Tech_3341_says()
    {
        using var folder = new TemporaryFolder();
        var tone = WaveBytes.Sine(1000, Math.Pow(10, -23 / 20.0), 20, 48_000);
        var file = folder.Write("tone.wav", WaveBytes.Pcm16(48_000, tone, tone));
        var row = Tool.Run("loudness", file, "--json").Json[0];
        Assert.Equal(
            ["file", "integratedLufs", "loudnessRangeLu", "truePeakDbtp", "samplePeakDbfs", "momentaryMaxLufs", "shortTermMaxLufs"],
            row.EnumerateObject().Select(p => p.Name)
        );
        Assert.Equal(file, row.GetProperty("file").GetString());
        foreach (var name in new[] { "integratedLufs", "shortTermMaxLufs", "momentaryMaxLufs" })
            Measured.Within(-23, row.GetProperty(name).GetDouble(), 0.1, name);
    }

    [Fact]
    public void What_silence_cannot_have_is_null()
    {
        using var folder = new TemporaryFolder();
        var file = folder.Write("silence.wav", WaveBytes.Pcm16(48_000, new float[48_000]));
        var row = Tool.Run("loudness", file, "--json").Json[0];
        Assert.Equal(JsonValueKind.Null, row.GetProperty("integratedLufs").ValueKind);
        Assert.Equal(JsonValueKind.Null, row.GetProperty("samplePeakDbfs").ValueKind);
        Assert.Contains("−∞", Tool.Run("loudness", file).Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_stands_for_the_audio_in_it_in_order_of_name()
    {
        using var folder = new TemporaryFolder();
        var sound = WaveBytes.Pcm16(48_000, WaveBytes.Sine(440, 0.5, 0.5, 48_000));
        folder.Write("b.wav", sound);
        folder.Write("A.wav", sound);
        folder.Write("notes.txt", "not audio"u8.ToArray());
        var rows = Tool.Run("loudness", folder.Path, "--json").Json;
        Assert.Equal(["A.wav", "b.wav"], rows.EnumerateArray().Select(r => Path.GetFileName(r.GetProperty("file").GetString())!));
    }

    [Fact]
    public void Quiet_says_nothing_and_json_still_answers()
    {
        using var folder = new TemporaryFolder();
        var file = folder.Write("a.wav", WaveBytes.Pcm16(48_000, WaveBytes.Sine(440, 0.5, 0.5, 48_000)));
        var quiet = Tool.Run("loudness", file, "--quiet");
        Assert.Equal((0, "", ""), (quiet.ExitCode, quiet.Output, quiet.Error));
        Assert.Equal(1, Tool.Run("loudness", file, "--quiet", "--json").Json.GetArrayLength());
    }

    [Fact]
    public void Ctrl_C_ends_it_with_130_and_one_line()
    {
        using var folder = new TemporaryFolder();
        // Two hours: long enough to be interrupted on any machine.
        WaveBytes.WriteClick(folder["long.wav"], 48_000, 2, 7200);
        var process = Tool.StartIn(folder.Path, "loudness", "long.wav");
        Tool.WaitUntilAtWork(process);
        Tool.Interrupt(process);
        var ran = Tool.Finish(process);
        Assert.Equal("offtape: Stopped. Nothing half-written was left behind.", ran.OneErrorLine);
        Assert.Equal(130, ran.ExitCode);
    }
}
