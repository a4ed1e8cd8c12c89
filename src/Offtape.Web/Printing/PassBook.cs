using System.Security.Cryptography;
using Offtape.Base;
using Offtape.Passes;
using Offtape.Web.Folders;

namespace Offtape.Web.Printing;

/// <summary>The passes of the studio. Whoever shows one is told when it changes, in whichever window that was.</summary>
public sealed class PassBook
{
    private readonly StudioFolder _studio;
    private readonly TimeProvider _clock;
    private readonly Lock _gate = new();
    private readonly Dictionary<string, PassFolder> _byId = [];

    public PassBook(StudioFolder studio, TimeProvider clock)
    {
        (_studio, _clock) = (studio, clock);
        foreach (var folder in Directory.Exists(studio.Passes) ? Directory.GetDirectories(studio.Passes) : [])
            Take(folder);
    }

    /// <summary>A pass changed, or one came.</summary>
    public event EventHandler? Changed;

    /// <summary>All of them, the latest first.</summary>
    public IReadOnlyList<PassFolder> All
    {
        get
        {
            lock (_gate)
                return [.. _byId.Values.OrderByDescending(p => p.Plan.MadeAt).ThenBy(p => p.Plan.Name, StringComparer.Ordinal)];
        }
    }

    public PassFolder? Find(string? id)
    {
        lock (_gate)
            return id is not null && _byId.TryGetValue(id, out var pass) ? pass : null;
    }

    /// <summary>Begins a pass. Machine, tape, side, speed and level are those of the last one.</summary>
    /// <exception cref="Fault">Its folder cannot be made.</exception>
    public PassFolder Begin(string? name = null)
    {
        var last = All.Count > 0 ? All[0].Plan : null;
        PassFolder pass;
        lock (_gate)
        {
            var now = _clock.GetLocalNow();
            var title = name ?? $"Pass of {now:d MMMM yyyy}";
            var folderName = SafeName.Free(_studio.Passes, SafeName.ForFolder(name ?? $"{now:yyyy-MM-dd} pass"));
            var number = folderName.LastIndexOf(" (", StringComparison.Ordinal) is var at and > 0 ? folderName[at..] : "";
            var fresh = new PassPlan
            {
                Id = NewId(),
                Name = title + number,
                MadeAt = now,
            };
            if (last is not null)
                fresh = fresh with
                {
                    Machine = last.Machine,
                    Tape = last.Tape,
                    SideMinutes = last.SideMinutes,
                    SpeedCmPerSecond = last.SpeedCmPerSecond,
                    LevelDbfs = last.LevelDbfs,
                    LevelEach = last.LevelEach,
                    LineUp = last.LineUp,
                };
            pass = new PassFolder(_studio, folderName, fresh);
            try
            {
                Directory.CreateDirectory(pass.SourcesFolder);
            }
            catch (Exception error) when (error is IOException or UnauthorizedAccessException)
            {
                throw Fault.FromOutputError(pass.Folder, error);
            }
            PassPlanJson.Save(pass.PlanPath, pass.Plan);
            _byId[pass.Plan.Id] = pass;
        }
        Tell();
        return pass;
    }

    /// <summary>Replaces what is said of a pass.</summary>
    /// <returns>The pass as it is now; null where there is none of that identifier.</returns>
    /// <exception cref="Fault">It cannot be written.</exception>
    public PassFolder? Change(string id, Func<PassPlan, PassPlan> change)
    {
        PassFolder pass;
        lock (_gate)
        {
            if (!_byId.TryGetValue(id, out var before))
                return null;
            pass = before with { Plan = change(before.Plan) with { Id = id } };
            if (pass.Plan == before.Plan)
                return before;
            PassPlanJson.Save(pass.PlanPath, pass.Plan);
            _byId[id] = pass;
        }
        Tell();
        return pass;
    }

    /// <summary>Says that files of a pass came or went.</summary>
    public void Tell() => Changed?.Invoke(this, EventArgs.Empty);

    // A folder that the command wrote has a sheet and no plan: it gets one.
    private void Take(string folder)
    {
        var name = Path.GetFileName(folder);
        if (name.StartsWith('.') || !_studio.Holds(folder))
            return;
        var file = Path.Combine(folder, PassPlan.FileName);
        var plan = PassPlanJson.TryLoad(file);
        if (plan is null && File.Exists(file))
            SetAside(file);
        if (plan is null && !File.Exists(Path.Combine(folder, PassSheet.FileName)) && !Directory.Exists(Path.Combine(folder, "sources")))
            return;
        plan ??= new PassPlan
        {
            Id = NewId(),
            Name = name,
            MadeAt = new DateTimeOffset(Directory.GetLastWriteTimeUtc(folder), TimeSpan.Zero),
        };
        if (!IsId(plan.Id) || _byId.ContainsKey(plan.Id))
            plan = plan with { Id = NewId() };
        _byId[plan.Id] = new PassFolder(_studio, name, plan);
    }

    // What cannot be understood may still be understood by a person: it is not written over.
    private static void SetAside(string file)
    {
        try
        {
            File.Copy(file, Path.ChangeExtension(file, ".unreadable.json"), overwrite: true);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            // Then the folder cannot be written to either, and nothing is written over.
        }
    }

    private static string NewId() => RandomNumberGenerator.GetString("23456789abcdefghjkmnpqrstuvwxyz", 8);

    private static bool IsId(string id) => id.Length is > 3 and < 40 && id.All(char.IsAsciiLetterOrDigit);
}
