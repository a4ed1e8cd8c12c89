using Offtape.Base;

namespace Offtape.Passes.Tests;

public sealed class RunStepsTests : IDisposable
{
    private readonly SendBench _bench = new();

    public void Dispose() => _bench.Dispose();

    [Fact]
    public void The_steps_are_the_run_in_its_order()
    {
        var steps = _bench.Run(_bench.Request(_bench.Source("a.wav", 1))).Steps;
        Assert.Equal(
            [
                RunStepKind.Clean,
                RunStepKind.NoiseReductionOff,
                RunStepKind.CounterToZero,
                RunStepKind.LineUp,
                RunStepKind.Record,
                RunStepKind.WaitForLeader,
                RunStepKind.PlaySend,
                RunStepKind.RunPast,
                RunStepKind.Stop,
            ],
            steps.Select(s => s.Kind)
        );
        Assert.Equal(Enumerable.Range(1, 9), steps.Select(s => s.Number));
    }

    [Fact]
    public void They_carry_this_pass_s_own_numbers()
    {
        var result = _bench.Run(
            _bench.Request(_bench.Source("a.wav", 10)) with
            {
                LineUp = true,
                SpeedCmPerSecond = 4.76,
                SideMinutes = 30,
                PassId = "abcd-2345",
            }
        );
        string Text(RunStepKind kind) => result.Steps.Single(s => s.Kind == kind).Text;
        // 1 + 20 + 8 + 10 + 1 + 1.874 + 1 = 42.874 s of send; with 10 s of margins 52.874 s, which is 2.5 m at 4.76 cm/s.
        Assert.Contains("53 s of tape, 2.5 m; the side has 30 min", Text(RunStepKind.CounterToZero));
        Assert.Contains("4.76 cm/s", Text(RunStepKind.NoiseReductionOff));
        Assert.Contains("first 21 s", Text(RunStepKind.LineUp));
        Assert.Contains($"315 Hz at {Words.Minus}12 dBFS peak", Text(RunStepKind.LineUp));
        Assert.Contains("6.0 dB above", Text(RunStepKind.LineUp));
        Assert.Contains("5 s more", Text(RunStepKind.WaitForLeader));
        Assert.Contains("0:42.874", Text(RunStepKind.PlaySend));
        Assert.Contains("head slate sounds at 0:26.126", Text(RunStepKind.PlaySend));
        Assert.Contains("first sound at 0:29.000", Text(RunStepKind.PlaySend));
        Assert.Contains("tail slate ends at 0:41.874", Text(RunStepKind.PlaySend));
        Assert.Contains("5 s past the tail slate", Text(RunStepKind.RunPast));
        Assert.Contains("abcd-2345", Text(RunStepKind.Stop));
    }

    [Fact]
    public void Cautions_stand_where_the_hand_is()
    {
        var steps = _bench.Run(_bench.Request(_bench.Source("a.wav", 1))).Steps.ToDictionary(s => s.Kind, s => s.Caution);
        Assert.Contains("Alcohol burns", steps[RunStepKind.Clean]);
        Assert.Contains("erases", steps[RunStepKind.CounterToZero]);
        Assert.Contains("headphones", steps[RunStepKind.LineUp]);
        Assert.Contains("capstan", steps[RunStepKind.Record]);
        Assert.Contains("Never monitor the return", steps[RunStepKind.PlaySend]);
    }

    [Fact]
    public void A_stretched_or_reversed_pass_says_that_it_is_meant()
    {
        var source = _bench.Source("a.wav", 1);
        string Play(SendRequest request) =>
            _bench.Run(request with { Force = true }).Steps.Single(s => s.Kind == RunStepKind.PlaySend).Text;
        Assert.DoesNotContain("meant", Play(_bench.Request(source)));
        Assert.Contains("2 times as long", Play(_bench.Request(source) with { PrintRatio = 2 }));
        Assert.Contains("2 times as fast", Play(_bench.Request(source) with { PrintRatio = 0.5 }));
        Assert.Contains("backwards", Play(_bench.Request(source) with { Reversed = true }));
    }

    [Fact]
    public void As_text_each_step_has_its_number_and_its_caution_under_it()
    {
        var text = RunSteps.ToText(_bench.Run(_bench.Request(_bench.Source("a.wav", 1))).Steps);
        var lines = text.Split('\n');
        Assert.StartsWith(" 1. With the machine switched off", lines[0]);
        Assert.StartsWith("    Caution: Alcohol burns", lines[1]);
        Assert.StartsWith(" 2. Switch noise reduction off", lines[2]);
    }
}
