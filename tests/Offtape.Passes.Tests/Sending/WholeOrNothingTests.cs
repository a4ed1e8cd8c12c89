using Offtape.Base;

namespace Offtape.Passes.Tests;

/// <summary>The two files of a send: both, or the folder as it was.</summary>
public sealed class WholeOrNothingTests : IDisposable
{
    private readonly SendBench _bench = new();

    public void Dispose() => _bench.Dispose();

    private static string[] Entries(string folder) => [.. Directory.GetFileSystemEntries(folder).Select(e => Path.GetFileName(e)!).Order()];

    /// <summary>The last moment before the sheet is written: a folder takes its name.</summary>
    private void BlockTheSheet(JobState state)
    {
        if (state is { Stage: "writing", Fraction: 1 })
            Directory.CreateDirectory(_bench.SheetPath);
    }

    [Fact]
    public void A_sheet_that_cannot_be_written_takes_the_send_with_it()
    {
        var request = _bench.Request(_bench.Source("a.wav", 0.5));
        var fault = Assert.Throws<Fault>(() => SendJob.Run(request, JobProgress.To(BlockTheSheet), CancellationToken.None));
        Assert.Equal(ExitCode.OutputUnwritable, fault.ExitCode);
        Assert.Equal(["pass.json"], Entries(_bench.Target));
    }

    [Fact]
    public void A_sheet_that_cannot_be_written_leaves_the_send_that_was_there()
    {
        Directory.CreateDirectory(_bench.Target);
        File.WriteAllText(_bench.SendPath, "the send of before");
        var request = _bench.Request(_bench.Source("a.wav", 0.5)) with { Force = true };
        Assert.Throws<Fault>(() => SendJob.Run(request, JobProgress.To(BlockTheSheet), CancellationToken.None));
        Assert.Equal(["pass.json", "send.wav"], Entries(_bench.Target));
        Assert.Equal("the send of before", File.ReadAllText(_bench.SendPath));
    }

    [Theory]
    [InlineData("reading", 0.1)]
    [InlineData("writing", 0.5)]
    [InlineData("writing", 1.0)]
    public void Cancelled_at_any_stage_nothing_stays(string stage, double fraction)
    {
        using var cancellation = new CancellationTokenSource();
        void Listen(JobState state)
        {
            if (state.Stage == stage && state.Fraction >= fraction)
                cancellation.Cancel();
        }

        var request = _bench.Request(_bench.Source("a.wav", 20), _bench.Source("b.wav", 20)) with
        {
            TargetFolder = Path.Combine(_bench.Target, "deep"),
        };
        Assert.ThrowsAny<OperationCanceledException>(() => SendJob.Run(request, JobProgress.To(Listen), cancellation.Token));
        Assert.False(Directory.Exists(_bench.Target));
    }

    [Fact]
    public void Cancelled_while_replacing_the_old_pair_stays()
    {
        Directory.CreateDirectory(_bench.Target);
        File.WriteAllText(_bench.SendPath, "old send");
        File.WriteAllText(_bench.SheetPath, "old sheet");
        using var cancellation = new CancellationTokenSource();
        var request = _bench.Request(_bench.Source("a.wav", 5)) with { Force = true };
        Assert.ThrowsAny<OperationCanceledException>(() =>
            SendJob.Run(
                request,
                JobProgress.To(state =>
                {
                    if (state.Stage == "writing")
                        cancellation.Cancel();
                }),
                cancellation.Token
            )
        );
        Assert.Equal(["pass.json", "send.wav"], Entries(_bench.Target));
        Assert.Equal(("old send", "old sheet"), (File.ReadAllText(_bench.SendPath), File.ReadAllText(_bench.SheetPath)));
    }

    [Fact]
    public void A_folder_that_was_there_and_empty_stays_when_the_send_fails()
    {
        Directory.CreateDirectory(_bench.Target);
        using var cancellation = new CancellationTokenSource();
        cancellation.Cancel();
        Assert.ThrowsAny<OperationCanceledException>(() =>
            SendJob.Run(_bench.Request(_bench.Source("a.wav", 1)), JobProgress.None, cancellation.Token)
        );
        Assert.Empty(Entries(_bench.Target));
        Assert.True(Directory.Exists(_bench.Target));
    }

    [Fact]
    public void Progress_goes_from_nothing_to_all_and_never_back()
    {
        var states = new List<JobState>();
        SendJob.Run(
            _bench.Request(_bench.Source("a.wav", 5), _bench.Source("b.wav", 3)),
            JobProgress.To(states.Add),
            CancellationToken.None
        );
        Assert.Equal(["reading", "writing"], states.Select(s => s.Stage).Distinct());
        Assert.All(states.Zip(states.Skip(1)), pair => Assert.True(pair.First.Fraction <= pair.Second.Fraction));
        Assert.Equal((0, 1), (states[0].Fraction, states[^1].Fraction));
    }
}
