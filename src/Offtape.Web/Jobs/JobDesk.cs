using System.Text.Json;
using System.Text.Json.Serialization;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Web.Serving;

namespace Offtape.Web.Jobs;

/// <summary>
/// Long work, one job after another. It goes on whichever pages are open. A job that was running when the program ended is known at the
/// next start, and what it had half-written is gone by then.
/// </summary>
public sealed class JobDesk : IAsyncDisposable
{
    private static readonly TimeSpan TellEvery = TimeSpan.FromMilliseconds(150);
    private readonly string _journal;
    private readonly TimeProvider _clock;
    private readonly Action<string, Exception?>? _onError;
    private readonly Lock _gate = new();
    private readonly Dictionary<long, Entry> _entries = [];
    private readonly CancellationTokenSource _closing = new();
    private Task _last = Task.CompletedTask;
    private long _number;

    /// <param name="folder">Where a note of the running job is kept.</param>
    /// <param name="clock">By which jobs are timed.</param>
    /// <param name="onError">Told of what no one could foresee; null: nobody is.</param>
    public JobDesk(string folder, TimeProvider clock, Action<string, Exception?>? onError)
    {
        (_clock, _onError) = (clock, onError);
        _journal = Path.Combine(folder, "job.json");
        if (ReadJournal() is { } note)
        {
            var job = new Job
            {
                Number = ++_number,
                Kind = note.Kind,
                PassId = note.PassId,
                Title = note.Title,
                Stand = JobStand.Interrupted,
                Words = $"Offtape ended while it was {note.Title}. Nothing was lost, and nothing half-made stayed. Begin it again.",
            };
            _entries[job.Number] = new Entry(job, null, 0);
            DeleteJournal();
        }
    }

    /// <summary>A job began, went on or ended; not more than a few times a second.</summary>
    public event EventHandler? Changed;

    /// <summary>All jobs of this run, the latest first.</summary>
    public IReadOnlyList<Job> All
    {
        get
        {
            lock (_gate)
                return [.. _entries.Values.Select(Now).OrderByDescending(j => j.Number)];
        }
    }

    /// <summary>The job that runs or waits for a pass; null where there is none.</summary>
    public Job? ActiveFor(string passId) => All.FirstOrDefault(j => j.PassId == passId && !j.IsOver);

    public Job? LastFor(string passId) => All.FirstOrDefault(j => j.PassId == passId);

    /// <summary>Begins a job, or gives the one of that kind that the pass has already: two windows ask for it once.</summary>
    /// <param name="kind">What kind of work it is.</param>
    /// <param name="passId">The pass it works on.</param>
    /// <param name="title">As one says it: "making the send of Side A".</param>
    /// <param name="work">Does it, on a thread of its own, and says how it went.</param>
    public Job Begin(JobKind kind, string passId, string title, Func<JobProgress, CancellationToken, string> work)
    {
        Job job;
        lock (_gate)
        {
            if (_entries.Values.Select(e => e.Job).FirstOrDefault(j => j.PassId == passId && !j.IsOver) is { } running)
                return running;
            foreach (var old in _entries.Values.Where(e => e.Job.IsOver && e.Job.PassId == passId).ToList())
                _entries.Remove(old.Job.Number);
            job = new Job
            {
                Number = ++_number,
                Kind = kind,
                PassId = passId,
                Title = title,
            };
            var stop = CancellationTokenSource.CreateLinkedTokenSource(_closing.Token);
            _entries[job.Number] = new Entry(job, stop, 0);
            var before = _last;
            _last = Task.Run(async () =>
            {
                await before;
                Run(job, work, stop.Token);
            });
        }
        Changed?.Invoke(this, EventArgs.Empty);
        return job;
    }

    /// <summary>Asks a job to stop; it clears up after itself.</summary>
    public void Stop(long number)
    {
        CancellationTokenSource? stop;
        lock (_gate)
            stop = _entries.GetValueOrDefault(number)?.Stop;
        stop?.Cancel();
    }

    /// <summary>Takes a job that is over off the list.</summary>
    public void Forget(long number)
    {
        lock (_gate)
        {
            if (_entries.TryGetValue(number, out var entry) && entry.Job.IsOver)
                _entries.Remove(number);
        }
        Changed?.Invoke(this, EventArgs.Empty);
    }

    /// <summary>Stops what runs and waits for it.</summary>
    public async ValueTask DisposeAsync()
    {
        await _closing.CancelAsync();
        await _last;
        _closing.Dispose();
    }

    private void Run(Job job, Func<JobProgress, CancellationToken, string> work, CancellationToken cancellation)
    {
        // The note first: whatever ends the program from here on is known at the next start.
        var number = job.Number;
        WriteJournal(new Note(job.Kind, job.PassId, job.Title));
        Update(number, j => j with { Stand = JobStand.Running }, _clock.GetTimestamp());
        var told = long.MinValue;
        void Listen(JobState state)
        {
            lock (_gate)
                _entries[number] = _entries[number] with { Job = _entries[number].Job with { State = state } };
            var now = _clock.GetTimestamp();
            var before = Interlocked.Read(ref told);
            if (before != long.MinValue && _clock.GetElapsedTime(before, now) < TellEvery)
                return;
            if (Interlocked.CompareExchange(ref told, now, before) == before)
                Changed?.Invoke(this, EventArgs.Empty);
        }
        try
        {
            cancellation.ThrowIfCancellationRequested();
            var words = work(JobProgress.To(Listen), cancellation);
            End(number, JobStand.Done, words);
        }
        catch (OperationCanceledException) when (cancellation.IsCancellationRequested)
        {
            End(number, JobStand.Stopped, $"Stopped {job.Title}. Nothing half-made was left behind.");
        }
        catch (Exception error)
        {
            var fault = Fault.Among(error);
            if (fault is null)
                _onError?.Invoke($"{job.Title} failed", error);
            End(
                number,
                JobStand.Failed,
                fault is not null
                    ? Plainly.Say(fault)
                    : "Something went wrong inside Offtape. Nothing was lost. Start it with --verbose to see where."
            );
        }
    }

    private void End(long number, JobStand stand, string words)
    {
        // A note that stays behind tells of an interruption at the next start: only where the program itself ended the job.
        if (stand != JobStand.Stopped || !_closing.IsCancellationRequested)
            DeleteJournal();
        Update(number, j => j with { Stand = stand, Words = words }, null);
    }

    private Job Update(long number, Func<Job, Job> change, long? started)
    {
        Job job;
        lock (_gate)
        {
            var entry = _entries[number];
            _entries[number] = entry = entry with { Job = change(Now(entry)), Started = started ?? entry.Started };
            job = entry.Job;
        }
        Changed?.Invoke(this, EventArgs.Empty);
        return job;
    }

    private Job Now(Entry entry) =>
        entry.Job.Stand == JobStand.Running ? entry.Job with { Elapsed = _clock.GetElapsedTime(entry.Started) } : entry.Job;

    private void WriteJournal(Note note)
    {
        try
        {
            SafeFile.WriteText(_journal, JsonSerializer.Serialize(note, NoteJson.Default.Note), replace: true);
        }
        catch (Fault)
        {
            // Then an interruption is not told; the job itself will say if the disk is full.
        }
    }

    private Note? ReadJournal()
    {
        try
        {
            return File.Exists(_journal) ? JsonSerializer.Deserialize(File.ReadAllText(_journal), NoteJson.Default.Note) : null;
        }
        catch (Exception error) when (error is JsonException or IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    private void DeleteJournal()
    {
        try
        {
            File.Delete(_journal);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            // As above.
        }
    }

    private sealed record Entry(Job Job, CancellationTokenSource? Stop, long Started);

    internal sealed record Note(JobKind Kind, string PassId, string Title);
}

[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase, UseStringEnumConverter = true)]
[JsonSerializable(typeof(JobDesk.Note))]
internal sealed partial class NoteJson : JsonSerializerContext;
