using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Passes;
using Offtape.Report;

namespace Offtape.Bench;

/// <summary>Reads captures of a check signal and writes the report: bench.json, a page and its plots.</summary>
public static class BenchReadJob
{
    public const string PageName = "bench.html";

    private const double LocatingShare = 0.55;
    private const double ReadingShare = 0.95;
    private const string ErasureReaderName = "erasure";

    /// <exception cref="Fault">Usage, a capture or sheet that cannot be read, a folder that cannot be written to.</exception>
    /// <exception cref="OperationCanceledException">Cancelled: nothing was written.</exception>
    public static BenchReadResult Run(BenchReadRequest request, JobProgress progress, CancellationToken cancellation)
    {
        var files = SoundFolders.Files(request.Captures);
        BenchFolder.CheckTargets(request.TargetFolder, request.Force, BenchReport.FileName, PageName);
        var sheet = FindSheet(request, files[0]);
        CheckParts(request, sheet);
        var locations = new List<BenchLocation>();
        for (var i = 0; i < files.Count; i++)
        {
            var part = progress.Part(LocatingShare * i / files.Count, LocatingShare * (i + 1) / files.Count);
            locations.Add(BenchLocator.Locate(files[i], request.How, sheet, request.Parts, part, cancellation));
        }
        var report = Read(request, sheet, locations, progress.Part(LocatingShare, ReadingShare), cancellation);
        progress.Report("writing", ReadingShare, "writing the report");
        cancellation.ThrowIfCancellationRequested();
        var isIncomplete =
            locations.Any(l => l.Runs.Count == 0) || report.Parts.Any(p => !p.Heard && p.IsAsked) || report.OutsideLimits.Count > 0;
        report = report with { Plots = [.. BenchPlots.Of(report).Select(p => p.Name)] };
        return new BenchReadResult(report, Write(request, report), isIncomplete ? ExitCode.Incomplete : ExitCode.Done);
    }

    private static BenchSheet? FindSheet(BenchReadRequest request, string firstCapture)
    {
        if (request.SheetPath is not null)
            return BenchSheet.Load(request.SheetPath);
        var beside = Path.Combine(Path.GetDirectoryName(firstCapture) ?? "", BenchSheet.FileName);
        return File.Exists(beside) ? BenchSheet.Load(beside) : null;
    }

    private static void CheckParts(BenchReadRequest request, BenchSheet? sheet)
    {
        var parts = (sheet ?? BenchSheetMaker.Make(new BenchSheetRequest())).Parts;
        if (BenchPartNames.FirstUnknown(parts, request.Parts) is { } word)
            throw Fault.Usage(
                $"The check signal has no part \"{word}\"",
                $"There are {Words.List([.. BenchPartNames.Kinds.Select(k => k.Word)])}, and by name {Words.List([.. parts.Select(p => p.Name)])}."
            );
    }

    private static BenchReport Read(
        BenchReadRequest request,
        BenchSheet? sheet,
        IReadOnlyList<BenchLocation> locations,
        JobProgress progress,
        CancellationToken cancellation
    )
    {
        List<BenchCapture> runs = [.. locations.SelectMany(l => l.Runs).Select(r => r.Only(request.Parts, ReportPart.NotAsked))];
        var notices = new List<Notice>();
        foreach (var location in locations)
            notices.AddRange(About(location, locations.Count > 1));
        // Of a capture without a check signal every reader says why it has nothing.
        List<BenchCapture> read =
            runs.Count > 0 ? runs : [locations[0].Nothing(request.How, sheet ?? BenchSheetMaker.Make(new BenchSheetRequest()))];
        var findings = new List<Findings>();
        var done = 0;
        foreach (var run in read)
        {
            var facts = request.Facts with { SendStartCaptureSeconds = request.Facts.SendStartCaptureSeconds - run.StartInFileSeconds };
            findings.Add(
                BenchReaders.Run(
                    run,
                    facts,
                    cancellation,
                    name =>
                        progress.Report(
                            "reading",
                            Interlocked.Increment(ref done) / (double)(read.Count * Math.Max(1, BenchReaders.All.Count)),
                            $"reading: {name}"
                        )
                )
            );
        }
        var all = WithErasure(RunMean.Of(findings), request, read[0].Sheet, notices, cancellation);
        notices.AddRange(all.Notices);
        notices.AddRange(HubMoves.Of(findings, request.Facts));
        notices.AddRange(Clipping(runs));
        return new BenchReport
        {
            Machine = request.Facts.Name,
            How = request.How,
            Date = request.Date ?? DayOf(locations[0].File),
            Capture = Path.GetFileName(locations[0].File),
            SheetId = read[0].Sheet.SheetId,
            OperatingLevelDbfs = read[0].Sheet.OperatingLevelDbfs,
            Facts = ReportFacts.From(request.Facts),
            Runs = [.. runs.Select(ReportRun.From)],
            Parts = [.. read[0].Sheet.Parts.Select(p => Part(p, read))],
            Readings = all.Readings,
            Curves = all.Curves,
            Notices = [.. notices.DistinctBy(n => (n.Code, n.Text))],
            OutsideLimits = [.. request.Limits.SelectMany(l => l.Outside(all.Readings))],
            Diagnosis = Diagnosing.Of(all.Readings, notices),
            Summary = runs.Count == 0 ? locations[0].WhyNone! : BenchSummary.Of(all.Readings),
        };
    }

    private static IEnumerable<Notice> About(BenchLocation location, bool isOneOfSeveral)
    {
        var name = isOneOfSeveral ? Path.GetFileName(location.File) + ": " : "";
        foreach (var notice in location.Notices)
            yield return notice with
            {
                Text = name + notice.Text,
            };
        if (location.WhyNone is { } why)
            yield return new Notice("not-found", name + why);
    }

    private static IEnumerable<Notice> Clipping(IReadOnlyList<BenchCapture> runs)
    {
        string[] parts = [.. runs.SelectMany(r => r.Clipped).Distinct()];
        if (parts.Length > 0)
            yield return new Notice(
                "clipped",
                $"The capture is clipped in {Words.List(parts)}: levels and distortion there are the converter's. Turn its input down and take it again."
            );
    }

    // The same stretch on a second replay, its half recorded over meanwhile: only that is read of it.
    private static Findings WithErasure(
        Findings findings,
        BenchReadRequest request,
        BenchSheet sheet,
        List<Notice> notices,
        CancellationToken cancellation
    )
    {
        if (request.ErasedCapture is not { } path || BenchReaders.All.FirstOrDefault(r => r.Name == ErasureReaderName) is not { } reader)
            return findings;
        var location = BenchLocator.Locate(path, HowTaken.Rewound, sheet, [], JobProgress.None, cancellation);
        notices.AddRange(About(location, isOneOfSeveral: true));
        if (location.Runs.Count == 0)
            return findings;
        var erased = reader.Read(location.Runs[^1], request.Facts, cancellation);
        var keys = erased.Readings.Select(r => r.Key).ToHashSet();
        return findings with { Readings = [.. findings.Readings.Where(r => !keys.Contains(r.Key)), .. erased.Readings] };
    }

    private static ReportPart Part(BenchPart part, IReadOnlyList<BenchCapture> runs) =>
        runs.Any(r => r.Find(part.Name) is not null)
            ? new ReportPart(part.Name, true, null)
            : new ReportPart(part.Name, false, runs[0].Missing.FirstOrDefault(m => m.Name == part.Name)?.Reason);

    private static string? DayOf(string file) => File.Exists(file) ? File.GetLastWriteTimeUtc(file).ToString("yyyy-MM-dd") : null;

    // The report last: a folder with a report has its page and its plots.
    private static List<string> Write(BenchReadRequest request, BenchReport report)
    {
        var folder = request.TargetFolder;
        var plots = BenchPlots.Of(report);
        BenchFolder.CheckTargets(folder, request.Force, plots.Select(p => p.Name));
        BenchFolder.Make(folder);
        var files = new List<string> { Path.Combine(folder, BenchReport.FileName), Path.Combine(folder, PageName) };
        var before = request.Force ? BenchFolder.PlotsOf(files[0]) : [];
        foreach (var (name, plot, _) in plots)
        {
            files.Add(Path.Combine(folder, name));
            SafeFile.WriteText(files[^1], plot.ToSvg(), request.Force);
        }
        SafeFile.WriteText(files[1], BenchPage.Html(report, request.Footer), request.Force);
        report.Save(files[0], request.Force);
        BenchFolder.Remove(folder, before.Except(report.Plots, StringComparer.Ordinal));
        return files;
    }
}
