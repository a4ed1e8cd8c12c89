using System.Security.Cryptography;
using Offtape.Base;

namespace Offtape.Web.Listening;

/// <summary>Blind comparisons that are under way or over, as long as the program runs.</summary>
internal sealed class BlindDesk(HearingDesk hearing)
{
    private const int MostRuns = 200;
    private readonly Lock _gate = new();
    private readonly Dictionary<string, BlindRun> _byId = [];

    /// <summary>Begins a run: draws X for every trial.</summary>
    /// <param name="set">What is compared.</param>
    /// <param name="variantA">One of its variants.</param>
    /// <param name="variantB">Another.</param>
    /// <param name="trials">How many, settled before the first.</param>
    /// <returns>Null while the loudness of the two is still being measured.</returns>
    /// <exception cref="Fault">One of them cannot be heard.</exception>
    public BlindRun? Begin(HeardSet set, string variantA, string variantB, int trials)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(trials, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(trials, GuessingOdds.MostTrials);
        var format = hearing.Format(set);
        if (hearing.Gains(set, format) is not { } decibels)
            return null;
        if (!decibels.ContainsKey(variantA) || !decibels.ContainsKey(variantB))
            throw Fault.Incomplete("One of the two is not there any more", "Load the page again.");
        var run = new BlindRun
        {
            Id = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16)),
            Set = set,
            VariantA = variantA,
            VariantB = variantB,
            Gains = decibels.ToDictionary(g => g.Key, g => Conversions.DbToAmplitude(g.Value)),
            IsB = [.. Enumerable.Range(0, trials).Select(_ => RandomNumberGenerator.GetInt32(2) == 1)],
        };
        lock (_gate)
        {
            if (_byId.Count >= MostRuns)
                _byId.Clear();
            _byId[run.Id] = run;
        }
        return run;
    }

    public BlindRun? Find(string? id)
    {
        lock (_gate)
            return id is null ? null : _byId.GetValueOrDefault(id);
    }

    /// <summary>Answers the trial that is under way.</summary>
    /// <param name="id">The run.</param>
    /// <param name="trial">The trial that is answered: an answer to one that is over already counts for nothing.</param>
    /// <param name="isB">X is B.</param>
    public BlindRun? Answer(string id, int trial, bool isB) =>
        Change(id, r => r.IsOver || r.TrialNumber != trial ? r : r with { Answers = [.. r.Answers, isB] });

    /// <summary>Ends a run before all trials were answered.</summary>
    public BlindRun? CutShort(string id) => Change(id, r => r.IsOver ? r : r with { IsCutShort = true });

    /// <summary>Runs of the same pair that are over and had an answer, this one among them.</summary>
    public IReadOnlyList<BlindRun> OverOf(BlindRun run)
    {
        lock (_gate)
            return
            [
                .. _byId.Values.Where(r =>
                    r.IsOver && r.Answers.Count > 0 && r.Set.Id == run.Set.Id && r.VariantA == run.VariantA && r.VariantB == run.VariantB
                ),
            ];
    }

    private BlindRun? Change(string id, Func<BlindRun, BlindRun> change)
    {
        lock (_gate)
            return _byId.TryGetValue(id, out var run) ? _byId[id] = change(run) : null;
    }
}
