using System.Runtime.ExceptionServices;
using Offtape.Base;
using Offtape.Passes.Finding;
using Offtape.Passes.Following;
using Offtape.Passes.Inputs;
using Offtape.Passes.Judging;
using Offtape.Passes.Listening;
using Offtape.Passes.Writing;

namespace Offtape.Passes;

/// <summary>Finds every source in what came back from the machine, and writes it at its place.</summary>
public static class ReturnJob
{
    /// <summary>Runs a return from files to takes and return.json.</summary>
    /// <returns>Also when not everything was found: then the exit code says so, and the sheet what is missing.</returns>
    /// <exception cref="Fault">Usage, an input that cannot be read, an output that cannot be written or exists.</exception>
    /// <exception cref="OperationCanceledException">Cancelled: takes that were finished stay, nothing half-written does.</exception>
    public static ReturnResult Run(ReturnRequest request, JobProgress progress, CancellationToken cancellation)
    {
        ReturnCheck.Check(request);
        try
        {
            return Work(request, progress, cancellation);
        }
        catch (AggregateException several)
        {
            // Sources are read and takes are written on several threads: what stopped one of them is what stopped the return.
            cancellation.ThrowIfCancellationRequested();
            if (Fault.Among(several) is { } fault)
                ExceptionDispatchInfo.Throw(fault);
            throw;
        }
    }

    private static ReturnResult Work(ReturnRequest request, JobProgress progress, CancellationToken cancellation)
    {
        var notices = new List<Notice>();
        progress.Report("reading", 0, "opening files");
        var (passes, loose) = OpenSources(request, notices, progress.Part(0, 0.08), cancellation);
        var captures = OpenCaptures(request, passes.Count > 0, notices, progress.Part(0.08, 0.3), cancellation);
        var search = new ReturnSearch(request, passes, loose, captures);
        var found = search.Run(progress.Part(0.3, 0.65), cancellation);
        var report = new ReturnReport(request, passes, loose, captures, found, notices);
        var plans = report.Plan(progress.Part(0.65, 0.75), cancellation);
        var written = Write(request, plans, progress.Part(0.75, 1), cancellation);
        var result = report.Finish(written);
        progress.Report("writing", 1, "done");
        return result;
    }

    private static (List<PassInput> Passes, List<SourceSound> Loose) OpenSources(
        ReturnRequest request,
        List<Notice> notices,
        JobProgress progress,
        CancellationToken cancellation
    )
    {
        var recordings = new List<(int Pass, Recording Recording)>();
        var sheets = new List<(string Path, PassSheet Sheet)>();
        foreach (var named in request.Passes)
        {
            var path = Directory.Exists(named) ? Path.Combine(named, PassSheet.FileName) : named;
            var sheet = PassSheet.Load(path);
            var locator = new SourceLocator(sheet, path, request.Sources, cancellation);
            foreach (var item in sheet.Items)
                recordings.Add((sheets.Count, locator.Locate(item, notices)));
            sheets.Add((path, sheet));
        }
        if (sheets.Count == 0)
        {
            foreach (var path in SoundFolders.Files(request.Sources, SoundFolders.IsSend))
                recordings.Add((-1, Recording.Of(path)));
        }
        var sounds = new SourceSound[recordings.Count];
        var done = 0;
        Parallel.For(
            0,
            sounds.Length,
            new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
            i =>
            {
                sounds[i] = SourceSound.Of(i, recordings[i].Recording, cancellation);
                var count = Interlocked.Increment(ref done);
                progress.Report("reading", (double)count / sounds.Length, $"reading source {count} of {sounds.Length}");
            }
        );
        var passes = sheets.Select((s, p) => new PassInput(s.Path, s.Sheet, [.. sounds.Where((_, i) => recordings[i].Pass == p)])).ToList();
        return (passes, [.. sounds.Where((_, i) => recordings[i].Pass < 0)]);
    }

    private static List<CaptureSound> OpenCaptures(
        ReturnRequest request,
        bool withSlates,
        List<Notice> notices,
        JobProgress progress,
        CancellationToken cancellation
    )
    {
        var recordings = CaptureList.Open(request, notices);
        var captures = new List<CaptureSound>();
        var total = Math.Max(1e-9, recordings.Sum(r => r.LengthSeconds));
        var done = 0.0;
        foreach (var recording in recordings)
        {
            foreach (var notice in recording.Notices)
                notices.Add(notice);
            var part = progress.Part(done / total, (done + recording.LengthSeconds) / total);
            captures.Add(CaptureSound.Of(captures.Count, recording, withSlates, part, cancellation));
            done += recording.LengthSeconds;
        }
        return captures;
    }

    private static IReadOnlyDictionary<(TakePlan, Retiming), (string File, long Clipped)> Write(
        ReturnRequest request,
        IReadOnlyList<(TakePlan Plan, string FileName)> plans,
        JobProgress progress,
        CancellationToken cancellation
    )
    {
        var jobs = plans.SelectMany(p => request.Retimings.Distinct().Select(r => (p.Plan, p.FileName, Retiming: r))).ToList();
        // Before anything is written: what exists already is not half replaced.
        foreach (var (_, file, retiming) in jobs)
        {
            var path = Path.Combine(request.TargetFolder, FolderOf(retiming), file);
            if (!request.Force && File.Exists(path))
                throw Fault.Output(path, "it exists already", "Use --force to replace it, or another folder with --to.");
        }
        try
        {
            Directory.CreateDirectory(request.TargetFolder);
            foreach (var retiming in jobs.Select(j => j.Retiming).Distinct())
                Directory.CreateDirectory(Path.Combine(request.TargetFolder, FolderOf(retiming)));
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(request.TargetFolder, error);
        }
        var longest = plans.Count == 0 ? 0 : plans.Max(p => LengthOf(request, p.Plan));
        var total = Math.Max(1e-9, jobs.Sum(j => LengthOf(request, j.Plan)));
        var written = new System.Collections.Concurrent.ConcurrentDictionary<(TakePlan, Retiming), (string, long)>();
        var writer = new TakeWriter(request);
        var secondsDone = new double[jobs.Count];
        Parallel.For(
            0,
            jobs.Count,
            new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
            i =>
            {
                var (plan, file, retiming) = jobs[i];
                var name = $"{FolderOf(retiming)}/{file}";
                void Written(double seconds)
                {
                    secondsDone[i] = seconds;
                    progress.Report("writing", secondsDone.Sum() / total, $"writing {name}");
                }
                var length = request.SameLength ? longest : LengthOf(request, plan);
                var clipped = writer.Write(plan, retiming, Path.Combine(request.TargetFolder, name), length, Written, cancellation);
                written[(plan, retiming)] = (name, clipped);
            }
        );
        return written;
    }

    internal static string FolderOf(Retiming retiming) =>
        retiming switch
        {
            Retiming.Shift => "shift",
            Retiming.Fit => "fit",
            Retiming.Steady => "steady",
            _ => "lock",
        };

    private static double LengthOf(ReturnRequest request, TakePlan plan) =>
        (request.AsPrinted ? plan.Take.SourceLength : plan.Source.LengthSeconds) + request.TailSeconds;
}
