using Offtape.Base;
using Offtape.Studio;
using Offtape.Web.Jobs;
using Offtape.Web.Printing;

namespace Offtape.Web.Logging;

/// <summary>
/// Takes passes out of the log that were never run. Besides what the log itself refuses, a pass stays of which a recording was brought in, or that a job
/// works on: nobody has looked into it yet.
/// </summary>
public sealed class RemovalDesk(LogReader log, PassBook passes, JobDesk jobs, WebOptions options)
{
    /// <summary>What would go.</summary>
    /// <exception cref="Fault">One of them is evidence, or not in the log.</exception>
    public async Task<IReadOnlyList<RemovedPass>> Plan(IReadOnlyCollection<string> passIds, CancellationToken cancellation)
    {
        var plan = await Task.Run(
            () => log.Read<IReadOnlyList<RemovedPass>>([], s => new LogRemoval(s).Plan(passIds, cancellation)),
            cancellation
        );
        Refuse(passIds);
        return plan;
    }

    /// <summary>Takes them out, all or none.</summary>
    /// <returns>What was done, and the files that were deleted.</returns>
    /// <exception cref="Fault">As <see cref="Plan"/>; or a file cannot be deleted, and the passes are out of the log.</exception>
    public async Task<(IReadOnlyList<RemovedPass> Passes, IReadOnlyList<string> Deleted)> Remove(
        IReadOnlyCollection<string> passIds,
        bool withFiles,
        CancellationToken cancellation
    )
    {
        Refuse(passIds);
        (IReadOnlyList<RemovedPass> Passes, IReadOnlyList<string> Deleted) done = ([], []);
        try
        {
            await Task.Run(
                () =>
                    log.Write(s =>
                        done = new LogRemoval(s).Remove(passIds, withFiles, options.Clock.GetUtcNow().UtcDateTime, cancellation)
                    ),
                cancellation
            );
        }
        finally
        {
            // Sends and sheets may be gone, also where one of them could not be deleted.
            passes.Tell();
        }
        return done;
    }

    private void Refuse(IReadOnlyCollection<string> passIds)
    {
        foreach (var pass in passes.All.Where(p => p.Sheet() is { } sheet && passIds.Contains(sheet.PassId)))
        {
            if (pass.Captures() is { Count: > 0 } captures)
                throw Fault.Incomplete(
                    $"{pass.Plan.Name} stays in the log: {Words.Count(captures.Count, "recording")} of it was brought in",
                    "Bring it back first: only a pass that was never run can be taken out."
                );
            if (jobs.LastFor(pass.Plan.Id) is { IsOver: false })
                throw Fault.Incomplete($"{pass.Plan.Name} stays in the log: a job works on it", "Wait until it is over.");
        }
    }
}
