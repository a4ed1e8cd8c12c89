using Offtape.Bench;
using Offtape.Cli.Tests.Running;
using Offtape.Testing;
using Offtape.Testing.Benches;

namespace Offtape.Cli.Tests;

/// <summary>How loud to send a sound, as the command says it, from a report made by hand: a straight tape with 50 dB over its noise.</summary>
public sealed class SoundLevelsCommandTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("offtape-levels").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private string Sound(double peak) => StraightMachine.Sine(Path.Combine(_folder, "pulse.wav"), peak);

    private string Bench(double operatingLevelDbfs = -12)
    {
        StraightMachine.Report(operatingLevelDbfs).Save(Path.Combine(_folder, BenchReport.FileName));
        return _folder;
    }

    /// <summary>Arithmetic: a sine of −6.02 dBFS comes out at −10, 0 and +6 dB when it is sent at −22, −12 and −6 dBFS; its noise lies 40, 50, 56 dB under it.</summary>
    [Fact]
    public void A_sound_is_told_its_send_levels_and_its_noise()
    {
        var ran = Tool.Run("levels", Sound(0.5), "--bench", Bench(), "--json");
        Assert.Equal(0, ran.ExitCode);
        var levels = ran.Json.GetProperty("sounds")[0].GetProperty("levels");
        foreach (var (i, send, noise) in new[] { (0, -22.0, 40.0), (1, -12, 50), (2, -6, 56) })
        {
            Measured.Within(send, levels[i].GetProperty("sendPeakDbfs").GetDouble(), 0.01, "dBFS");
            Measured.Within(noise, levels[i].GetProperty("noiseUnderDb").GetDouble(), 0.01, "dB");
            Assert.Equal(System.Text.Json.JsonValueKind.Null, levels[i].GetProperty("distortionPercent").ValueKind);
        }
        var text = Tool.Run("levels", Path.Combine(_folder, "pulse.wav"), "--bench", _folder).Output;
        Assert.Contains("−22.0 dBFS", text, StringComparison.Ordinal);
        Assert.Contains("the report has no staircase", text.ReplaceLineEndings(" "), StringComparison.Ordinal);
    }

    [Fact]
    public void A_send_over_full_scale_is_exit_3_and_says_what_to_turn()
    {
        var ran = Tool.Run("levels", Sound(0.5), "--bench", Bench(operatingLevelDbfs: -3));
        Assert.Equal(3, ran.ExitCode);
        Assert.Contains("over: the send would peak 3.0 dB over full scale", ran.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void A_sound_without_a_bench_or_a_bench_without_a_sound_is_wrong_usage()
    {
        Assert.Equal(2, Tool.Run("levels", Sound(0.5)).ExitCode);
        Assert.Equal(2, Tool.Run("levels", "--bench", Bench()).ExitCode);
        Assert.Equal(2, Tool.Run("levels", Path.Combine(_folder, "pulse.wav"), "--bench", _folder, "--channel", "3").ExitCode);
        Assert.Equal(4, Tool.Run("levels", Path.Combine(_folder, "pulse.wav"), "--bench", Path.Combine(_folder, "none.json")).ExitCode);
    }
}
