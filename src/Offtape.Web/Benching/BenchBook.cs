using System.Security.Cryptography;
using Offtape.Base;
using Offtape.Web.Folders;

namespace Offtape.Web.Benching;

/// <summary>The sittings at the bench of this studio. Whoever shows one is told when it changes, in whichever window that was.</summary>
public sealed class BenchBook
{
    private readonly StudioFolder _studio;
    private readonly TimeProvider _clock;
    private readonly Lock _gate = new();
    private readonly Dictionary<string, BenchSitting> _byId = [];

    public BenchBook(StudioFolder studio, TimeProvider clock)
    {
        (_studio, _clock) = (studio, clock);
        foreach (var folder in Directory.Exists(studio.Benches) ? Directory.GetDirectories(studio.Benches) : [])
        {
            var name = Path.GetFileName(folder);
            if (
                !name.StartsWith('.')
                && studio.Holds(folder)
                && BenchPlanJson.TryLoad(Path.Combine(folder, BenchPlan.FileName)) is { } plan
                && IsId(plan.Id)
            )
                _byId.TryAdd(plan.Id, new BenchSitting(studio, name, plan));
        }
    }

    /// <summary>A sitting changed, or one came.</summary>
    public event EventHandler? Changed;

    /// <summary>All of them, the latest first.</summary>
    public IReadOnlyList<BenchSitting> All
    {
        get
        {
            lock (_gate)
                return [.. _byId.Values.OrderByDescending(s => s.Plan.MadeAt).ThenBy(s => s.FolderName, StringComparer.Ordinal)];
        }
    }

    public BenchSitting? Find(string? id)
    {
        lock (_gate)
            return id is not null && _byId.TryGetValue(id, out var sitting) ? sitting : null;
    }

    /// <summary>Begins a sitting. Machine, speed, tracks and how it is taken are those of the last one.</summary>
    /// <exception cref="Fault">Its folder cannot be made.</exception>
    public BenchSitting Begin()
    {
        var last = All.Count > 0 ? All[0].Plan : null;
        BenchSitting sitting;
        lock (_gate)
        {
            var now = _clock.GetLocalNow();
            var plan = new BenchPlan { Id = RandomNumberGenerator.GetString("23456789abcdefghjkmnpqrstuvwxyz", 8), MadeAt = now };
            if (last is not null)
                plan = plan with
                {
                    Machine = last.Machine,
                    SpeedCmPerSecond = last.SpeedCmPerSecond,
                    Format = last.Format,
                    How = last.How,
                    HeadDistanceMm = last.HeadDistanceMm,
                    ChannelCount = last.ChannelCount,
                    LevelDbfs = last.LevelDbfs,
                };
            sitting = new BenchSitting(_studio, SafeName.Free(_studio.Benches, $"{now:yyyy-MM-dd} bench"), plan);
            try
            {
                Directory.CreateDirectory(sitting.Folder);
            }
            catch (Exception error) when (error is IOException or UnauthorizedAccessException)
            {
                throw Fault.FromOutputError(sitting.Folder, error);
            }
            BenchPlanJson.Save(sitting.PlanPath, plan);
            _byId[plan.Id] = sitting;
        }
        Tell();
        return sitting;
    }

    /// <summary>Replaces what is said of a sitting.</summary>
    /// <returns>The sitting as it is now; null where there is none of that identifier.</returns>
    /// <exception cref="Fault">It cannot be written.</exception>
    public BenchSitting? Change(string id, Func<BenchPlan, BenchPlan> change)
    {
        BenchSitting sitting;
        lock (_gate)
        {
            if (!_byId.TryGetValue(id, out var before))
                return null;
            sitting = before with { Plan = change(before.Plan) with { Id = id } };
            if (sitting.Plan == before.Plan)
                return before;
            BenchPlanJson.Save(sitting.PlanPath, sitting.Plan);
            _byId[id] = sitting;
        }
        Tell();
        return sitting;
    }

    /// <summary>Says that files of a sitting came or went.</summary>
    public void Tell() => Changed?.Invoke(this, EventArgs.Empty);

    private static bool IsId(string id) => id.Length is > 3 and < 40 && id.All(char.IsAsciiLetterOrDigit);
}
