using Offtape.Base;
using Offtape.Studio;
using Offtape.Web.Jobs;
using StudioFolder = Offtape.Web.Folders.StudioFolder;

namespace Offtape.Web.Logging;

/// <summary>Takes into the log what the files of the studio say, as a job beside the pages.</summary>
public sealed class RebuildDesk(StudioFolder studio, JobDesk jobs)
{
    /// <summary>Stands where other jobs have their pass.</summary>
    private const string JobPlace = "log:rebuild";

    private RebuildReport? _last;

    /// <summary>What was taken in last since the program began; null: nothing yet.</summary>
    public RebuildReport? Last => Volatile.Read(ref _last);

    /// <summary>How the last one stands; null: none was begun.</summary>
    public Job? Job => jobs.LastFor(JobPlace);

    /// <param name="isAnew">The database is put aside first, and another made.</param>
    public Job Begin(bool isAnew) =>
        jobs.Begin(
            JobKind.Rebuild,
            JobPlace,
            isAnew ? "making the log anew from the files of this folder" : "taking the files of this folder into the log",
            (progress, cancellation) =>
            {
                Volatile.Write(ref _last, null);
                var aside = isAnew ? LogRebuild.PutAside(studio.Root) : null;
                using var store = StudioStore.Open(studio.Root);
                try
                {
                    var report = new LogRebuild(store).Run(progress, cancellation);
                    Volatile.Write(ref _last, report);
                    return RebuildWords.Of(report, aside);
                }
                catch (OperationCanceledException) when (cancellation.IsCancellationRequested && aside is not null)
                {
                    // A part of it is there: where the rest still is has to be told, whoever stopped it.
                    return $"Stopped before all files were read. Begin it again to take in the rest. {RebuildWords.Aside(aside)}";
                }
            }
        );
}
