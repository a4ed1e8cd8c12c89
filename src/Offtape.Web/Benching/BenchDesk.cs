using System.Collections.Concurrent;
using Offtape.Base;
using Offtape.Bench;
using Offtape.Tape;
using Offtape.Web.Jobs;
using Offtape.Web.Logging;
using Offtape.Web.Sounds;

namespace Offtape.Web.Benching;

/// <summary>Makes check signals, reads what came back of them, and holds reports against each other.</summary>
public sealed class BenchDesk(BenchBook benches, JobDesk jobs, SoundBook sounds, LogDesk log)
{
    private readonly ConcurrentDictionary<string, (DateTime Written, BenchReport? Report)> _reports = [];

    /// <summary>The captures that would be read: all but the one of erasure and those that are left out.</summary>
    public IReadOnlyList<string> Heard(BenchSitting sitting) =>
        [
            .. sitting
                .Captures()
                .Where(c => Path.GetFileName(c) is var name && name != sitting.Plan.Erased && !sitting.Plan.LeftOut.Contains(name))
                .Where(c => sounds.Facts(c).Trouble is null),
        ];

    /// <summary>The report of a sitting; null where there is none that can be read.</summary>
    public BenchReport? Report(BenchSitting sitting)
    {
        var path = sitting.ReportPath;
        if (!File.Exists(path) || !sitting.Studio.Holds(path))
            return null;
        var written = File.GetLastWriteTimeUtc(path);
        if (_reports.TryGetValue(path, out var known) && known.Written == written)
            return known.Report;
        BenchReport? report;
        try
        {
            report = BenchReport.Load(path);
        }
        catch (Fault)
        {
            report = null;
        }
        _reports[path] = (written, report);
        return report;
    }

    /// <summary>Begins to make the check signal and the line-up tone.</summary>
    public Job BeginSignals(BenchSitting sitting) =>
        jobs.Begin(
            JobKind.Bench,
            sitting.Plan.Id,
            $"making the check signal for {sitting.Plan.Name}",
            (progress, cancellation) => MakeSignals(benches.Find(sitting.Plan.Id) ?? sitting, progress, cancellation)
        );

    /// <summary>Begins to read what was recorded.</summary>
    public Job BeginReading(BenchSitting sitting) =>
        jobs.Begin(
            JobKind.Bench,
            sitting.Plan.Id,
            $"reading {sitting.Plan.Name}",
            (progress, cancellation) => Read(benches.Find(sitting.Plan.Id) ?? sitting, progress, cancellation)
        );

    private string MakeSignals(BenchSitting sitting, JobProgress progress, CancellationToken cancellation)
    {
        var plan = sitting.Plan;
        var made = BenchSignalsJob.Run(
            new BenchSheetRequest { ChannelCount = plan.ChannelCount, LevelDbfs = plan.LevelDbfs },
            sitting.Folder,
            replace: true,
            progress.Part(0, 0.95),
            cancellation
        );
        LineUpJob.Run(
            sitting.Folder,
            made.Sheet.SampleRateHz,
            plan.ChannelCount,
            plan.LevelDbfs,
            LineUpJob.DefaultFrequencyHz,
            replace: true
        );
        benches.Change(plan.Id, p => p with { Ticked = [] });
        benches.Tell();
        return $"The check signal lasts {Words.Duration(made.Sheet.LengthSeconds)}. Turn monitors down and take headphones off before it is played.";
    }

    private string Read(BenchSitting sitting, JobProgress progress, CancellationToken cancellation)
    {
        var plan = sitting.Plan;
        var how = plan.How ?? throw Fault.Incomplete("It is not said how the recording was taken", "Choose it on the page of this bench.");
        var heard = Heard(sitting);
        if (heard.Count == 0)
            throw Fault.Incomplete("There is no recording to read", "Drop what was recorded of the check signal.");
        var erased = plan.Erased is { } name ? Path.Combine(sitting.CapturesFolder, name) : null;
        var result = BenchReadJob.Run(
            new BenchReadRequest
            {
                Captures = heard,
                SheetPath = sitting.HasSignal ? sitting.SheetPath : null,
                How = how,
                TargetFolder = sitting.ReportFolder,
                Facts = new MachineFacts
                {
                    Name = plan.Machine,
                    SpeedCmPerSecond = plan.SpeedCmPerSecond,
                    Format = plan.Format is { } word ? TrackFormatNames.Find(word) : null,
                    HeadDistanceMm = plan.HeadDistanceMm,
                },
                ErasedCapture = erased is not null && File.Exists(erased) && sitting.Studio.Holds(erased) ? erased : null,
                Date = plan.MadeAt.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture),
                Footer = "Made by Offtape's bench.",
                Force = true,
            },
            progress,
            cancellation
        );
        var noted = log.Note(l => l.Bench(result.Files[0], heard, cancellation));
        benches.Tell();
        return (result.ExitCode == ExitCode.Done ? "Read." : "Read as far as it goes: what was not heard is listed below, with why.")
            + noted;
    }
}
