using Offtape.Base;
using Offtape.Passes;
using Offtape.Web.Folders;
using Offtape.Web.Jobs;
using Offtape.Web.Logging;
using Offtape.Web.Printing;
using Offtape.Web.Sounds;

namespace Offtape.Web.Bringing;

/// <summary>
/// Brings back what was recorded of a pass: hands captures and sources to the job, in the background. The takes of an earlier run stay until
/// the new ones are whole.
/// </summary>
public sealed class ReturnDesk(PassBook passes, JobDesk jobs, SoundBook sounds, LogDesk log)
{
    private const string ByHand = "by hand";

    /// <summary>The captures that a run would hear.</summary>
    public IReadOnlyList<string> Heard(PassFolder pass) =>
        [.. pass.Captures().Where(c => !pass.Plan.LeftOut.Contains(Path.GetFileName(c)) && sounds.Facts(c).Trouble is null)];

    /// <summary>Begins to bring a pass back.</summary>
    public Job Begin(PassFolder pass) =>
        jobs.Begin(
            JobKind.Return,
            pass.Plan.Id,
            $"bringing back {pass.Plan.Name}",
            (progress, cancellation) => BringIn(passes.Find(pass.Plan.Id) ?? pass, progress, cancellation)
        );

    /// <summary>What the last run found; null before the first.</summary>
    public ReturnView? View(PassFolder pass)
    {
        if (!Directory.Exists(pass.TakesFolder) || !pass.Studio.Holds(pass.TakesFolder))
            return null;
        var sheets = Folders(pass)
            .Select(f => (Folder: f, Sheet: ReturnSheet.TryLoad(Path.Combine(f, ReturnSheet.FileName))))
            .Where(s => s.Sheet is not null)
            .Select(s => (s.Folder, s.Sheet!))
            .ToList();
        return sheets.Count == 0 ? null : ReturnView.Of(pass, sheets);
    }

    /// <summary>Brings a pass back now.</summary>
    /// <returns>How it went, in words.</returns>
    internal string BringIn(PassFolder pass, JobProgress progress, CancellationToken cancellation)
    {
        var heard = Heard(pass);
        if (heard.Count == 0)
            throw Fault.Incomplete("There is no recording to bring back", "Drop what was recorded from the machine, or take one back in.");
        var assigned = heard
            .Select(c => (Capture: c, Source: pass.Plan.Holds.GetValueOrDefault(Path.GetFileName(c))))
            .Where(c => c.Source is not null && SourceOf(pass, c.Source) is not null)
            .Select(c => (c.Capture, Source: SourceOf(pass, c.Source!)!))
            .ToList();
        var together = heard.Except(assigned.Select(a => a.Capture)).ToList();
        var part = Path.Combine(pass.Studio.Takes, StudioFolder.PartName());
        try
        {
            var runs = assigned.Count + (together.Count > 0 ? 1 : 0);
            var run = 0;
            JobProgress Next() => progress.Part(0.99 * run / runs, 0.99 * ++run / runs);
            if (together.Count > 0)
                Run(pass, together, pass.HasSend ? null : pass.Sources(), part, Next(), cancellation);
            for (var i = 0; i < assigned.Count; i++)
                Run(pass, [assigned[i].Capture], [assigned[i].Source], Path.Combine(part, $"{ByHand} {i + 1}"), Next(), cancellation);
            Replace(pass.TakesFolder, part);
        }
        finally
        {
            if (Directory.Exists(part))
                Directory.Delete(part, recursive: true);
        }
        var noted = log.Note(l =>
        {
            foreach (var folder in Folders(pass))
                if (Path.Combine(folder, ReturnSheet.FileName) is var sheet && File.Exists(sheet))
                    l.Return(sheet, pass.HasSend ? [pass.SheetPath] : [], pass.Folder, cancellation);
        });
        passes.Tell();
        return (View(pass)?.Summary ?? "") + noted;
    }

    /// <summary>Where its takes lie: together, and those whose sound was said by hand.</summary>
    private static string[] Folders(PassFolder pass) =>
        [
            pass.TakesFolder,
            .. Directory.GetDirectories(pass.TakesFolder, $"{ByHand} *").Order(StringComparer.Ordinal).Where(pass.Studio.Holds),
        ];

    private static string? SourceOf(PassFolder pass, string name) => pass.SourceFile(name, pass.Sheet());

    // "only": the sounds to look for by their sound alone; null: those of the sheet.
    private static void Run(
        PassFolder pass,
        IReadOnlyList<string> captures,
        IReadOnlyList<string>? only,
        string target,
        JobProgress progress,
        CancellationToken cancellation
    ) =>
        ReturnJob.Run(
            new ReturnRequest
            {
                Captures = captures,
                Passes = only is null ? [pass.SheetPath] : [],
                Sources = only ?? (Directory.Exists(pass.SourcesFolder) ? [pass.SourcesFolder] : []),
                TargetFolder = target,
                Held =
                [
                    .. pass
                        .Plan.Held.Select(h =>
                            (h.Source, Capture: captures.FirstOrDefault(c => Path.GetFileName(c) == h.Capture), h.Seconds)
                        )
                        .Where(h => h.Capture is not null)
                        .Select(h => new HeldPlace(h.Source, h.Capture!, h.Seconds)),
                ],
                MadeAt = DateTime.UtcNow,
                Retimings = [Retiming.Steady, Retiming.Shift, Retiming.Fit, Retiming.Lock],
                Force = true,
            },
            progress,
            cancellation
        );

    private static void Replace(string target, string part)
    {
        var old = Path.Combine(Path.GetDirectoryName(target)!, StudioFolder.PartName());
        try
        {
            if (Directory.Exists(target))
                Directory.Move(target, old);
            try
            {
                Directory.Move(part, target);
            }
            catch (Exception error) when (error is IOException or UnauthorizedAccessException)
            {
                if (Directory.Exists(old))
                    Directory.Move(old, target);
                throw;
            }
            if (Directory.Exists(old))
                Directory.Delete(old, recursive: true);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(target, error);
        }
    }
}
