using Offtape.Studio;
using Offtape.Web.Folders;
using Offtape.Web.Jobs;

namespace Offtape.Web.Logging;

/// <summary>Reads every file of the log again, as a job beside the pages.</summary>
public sealed class VerifyDesk(StudioFolder studio, JobDesk jobs, TimeProvider clock)
{
    /// <summary>Stands where other jobs have their pass.</summary>
    private const string JobPlace = "log:verify";

    private VerifyResult? _last;

    /// <summary>What was found last since the program began; null: nothing yet.</summary>
    public VerifyResult? Last => Volatile.Read(ref _last);

    /// <summary>How the last one stands; null: none was begun.</summary>
    public Job? Job => jobs.LastFor(JobPlace);

    /// <param name="follow">Note where moved files lie now.</param>
    public Job Begin(bool follow) =>
        jobs.Begin(
            JobKind.Verify,
            JobPlace,
            "reading every file of the log again",
            (progress, cancellation) =>
            {
                using var store = StudioStore.OpenExisting(studio.Root);
                var report = new LogVerifier(store).Verify(follow, progress, cancellation);
                Volatile.Write(ref _last, new VerifyResult(report, clock.GetLocalNow()));
                return VerifyWords.Of(report);
            }
        );
}

/// <summary>What reading everything again has shown, and when.</summary>
public sealed record VerifyResult(VerifyReport Report, DateTimeOffset At);
