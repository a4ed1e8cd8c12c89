using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Bench.Tests;

/// <summary>From a file to a report: what is not in a capture is said with its reason, and no number is made up for it.</summary>
public sealed class BenchReadJobTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("offtape-bench").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    private BenchReadRequest Request(string capture, string target = "report") =>
        new()
        {
            Captures = [capture],
            How = HowTaken.Rewound,
            TargetFolder = Path.Combine(_folder, target),
            Date = "2026-05-31",
        };

    private BenchSignalsResult Signals(params string[] parts) =>
        BenchSignalsJob.Run(new BenchSheetRequest { Parts = parts }, _folder, false, JobProgress.None, Cancellation);

    [Fact]
    public void What_signals_wrote_is_read_whole_by_the_sheet_beside_it()
    {
        var signals = Signals("level", "silence", "sweep");
        var result = BenchReadJob.Run(Request(signals.SignalPath), JobProgress.None, Cancellation);
        Assert.Equal(ExitCode.Done, result.ExitCode);
        Assert.All(result.Report.Parts, p => Assert.True(p.Heard, p.Name));
        var run = Assert.Single(result.Report.Runs);
        Assert.Equal(signals.Sheet.SheetId, result.Report.SheetId);
        Assert.InRange(run.SpeedRatio, 0.99999, 1.00001);
        Assert.InRange(run.StartSeconds, -0.0005, 0.0005);
        Assert.All(result.Files, f => Assert.True(File.Exists(f), f));
        Assert.Equal(result.Report.ToJson(), BenchReport.Load(Path.Combine(_folder, "report")).ToJson());
        Assert.All(result.Report.Plots, p => Assert.True(File.Exists(Path.Combine(_folder, "report", p)), p));
        // A second time it would replace what is there.
        var fault = Assert.Throws<Fault>(() => BenchReadJob.Run(Request(signals.SignalPath), JobProgress.None, Cancellation));
        Assert.Equal(ExitCode.OutputUnwritable, fault.ExitCode);
    }

    [Fact]
    public void Replacing_a_report_takes_its_old_plots_away_and_nothing_else()
    {
        var signals = Signals("level", "silence", "stairs-315");
        var first = BenchReadJob.Run(Request(signals.SignalPath), JobProgress.None, Cancellation);
        Assert.Contains(first.Files, f => f.EndsWith("distortion.svg", StringComparison.Ordinal));
        var own = Path.Combine(_folder, "report", "mine.svg");
        File.WriteAllText(own, "not a plot of ours");
        var outside = Path.Combine(_folder, "outside.svg");
        File.WriteAllText(outside, "outside");
        // A report that was edited to name what is not its own.
        var path = Path.Combine(_folder, "report", BenchReport.FileName);
        var edited = BenchReport.Load(path);
        (edited with { Plots = [.. edited.Plots, "../outside.svg", "bench.html"] }).Save(path, replace: true);

        var second = BenchReadJob.Run(
            Request(signals.SignalPath) with
            {
                Parts = ["silence"],
                Force = true,
            },
            JobProgress.None,
            Cancellation
        );
        Assert.DoesNotContain(second.Files, f => f.EndsWith("distortion.svg", StringComparison.Ordinal));
        Assert.False(File.Exists(Path.Combine(_folder, "report", "distortion.svg")));
        Assert.All([own, outside, .. second.Files], f => Assert.True(File.Exists(f), f));
    }

    [Fact]
    public void Parts_that_were_not_asked_for_are_not_missed()
    {
        var signals = Signals("level", "silence");
        var result = BenchReadJob.Run(Request(signals.SignalPath) with { Parts = ["level-315"] }, JobProgress.None, Cancellation);
        Assert.Equal(ExitCode.Done, result.ExitCode);
        Assert.Equal(["level-315"], result.Report.Parts.Where(p => p.Heard).Select(p => p.Name));
        Assert.Equal(
            ExitCode.Usage,
            Assert
                .Throws<Fault>(() =>
                    BenchReadJob.Run(Request(signals.SignalPath, "other") with { Parts = ["speed"] }, JobProgress.None, Cancellation)
                )
                .ExitCode
        );
    }

    [Fact]
    public void Of_a_capture_without_a_check_signal_nothing_is_stated()
    {
        var path = Path.Combine(_folder, "noise.wav");
        var dice = new Random(8);
        using (var writer = AudioWriter.Create(path, new AudioFormat(48_000, 2, SampleEncoding.Pcm16)))
        {
            writer.Write([.. Enumerable.Range(0, 2 * 48_000 * 5).Select(_ => (float)(0.1 * (dice.NextDouble() - 0.5)))]);
            writer.Complete();
        }
        var result = BenchReadJob.Run(Request(path), JobProgress.None, Cancellation);
        Assert.Equal(ExitCode.Incomplete, result.ExitCode);
        Assert.Contains("not in this capture", result.Report.Summary, StringComparison.Ordinal);
        Assert.All(result.Report.Parts, p => Assert.False(p.Heard));
        Assert.All(result.Report.Readings, r => Assert.True(r.Value is null && r.AtMost is null && r.Reason is not null, r.Quantity));
        Assert.DoesNotContain(result.Report.Curves, c => c.Y.Any(double.IsFinite));
    }

    [Fact]
    public void A_capture_that_ends_early_gives_what_it_has_and_says_the_rest()
    {
        var signals = Signals("level", "sweep");
        var cut = Path.Combine(_folder, "cut.wav");
        using (var reader = AudioFile.Open(signals.SignalPath))
        using (var writer = AudioWriter.Create(cut, reader.Format))
        {
            var frames = new float[2 * (int)(48_000 * (signals.Sheet.Parts[2].StartSeconds + 3))];
            reader.Read(0, frames);
            writer.Write(frames);
            writer.Complete();
        }
        var result = BenchReadJob.Run(Request(cut), JobProgress.None, Cancellation);
        Assert.Equal(ExitCode.Incomplete, result.ExitCode);
        Assert.Equal(["level-315", "level-1000"], result.Report.Parts.Where(p => p.Heard).Select(p => p.Name));
        Assert.Equal("the capture ends within it", result.Report.Parts[2].Reason);
        Assert.Equal("the capture ends before it", result.Report.Parts[3].Reason);
    }

    [Fact]
    public void Two_captures_are_two_runs_of_one_report()
    {
        var signals = Signals("level");
        var second = Path.Combine(_folder, "second.wav");
        File.Copy(signals.SignalPath, second);
        var result = BenchReadJob.Run(
            Request(signals.SignalPath) with
            {
                Captures = [signals.SignalPath, second],
            },
            JobProgress.None,
            Cancellation
        );
        Assert.Equal(["bench.wav", "second.wav"], result.Report.Runs.Select(r => r.File));
    }

    [Fact]
    public void A_stretch_recorded_over_is_still_heard_and_the_tail_may_be_gone()
    {
        var sheet = BenchSheetMaker.Make(new BenchSheetRequest { Parts = ["level", "erasure"] });
        var channels = BenchSignal.Render(sheet);
        var part = sheet.Parts.Single(p => p.Name == "erasure");
        var dice = new Random(2);
        foreach (var channel in channels)
        {
            for (var i = 0; i < channel.Length; i++)
                channel[i] += (float)(1e-3 * (dice.NextDouble() - 0.5));
            for (var i = (int)((part.StartSeconds + 4.3) * 48_000); i < channel.Length; i++)
                channel[i] = (float)(1e-3 * (dice.NextDouble() - 0.5));
        }
        // From the last slate on, as the steps say.
        var from = (int)((sheet.Slates[1].StartSeconds - 1) * 48_000);
        var capture = Assert.Single(
            BenchLocator.Locate([.. channels.Select(c => c[from..])], 48_000, HowTaken.Rewound, sheet, cancellation: Cancellation).Runs
        );
        Assert.NotNull(capture.Find("erasure"));
        Assert.Null(capture.Find("level-315"));
    }
}
