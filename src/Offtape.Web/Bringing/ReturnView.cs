using Offtape.Base;
using Offtape.Passes;
using Offtape.Web.Printing;

namespace Offtape.Web.Bringing;

/// <summary>What came back of a pass, as the return screen shows it.</summary>
public sealed record ReturnView
{
    /// <summary>By source in the order of the pass, the tries of one source together.</summary>
    public required IReadOnlyList<TakeView> Takes { get; init; }

    /// <summary>Sources of which there is no take, with the sentence that says why.</summary>
    public required IReadOnlyList<ReturnTake> Missing { get; init; }

    /// <summary>File names of captures in which nothing was found.</summary>
    public required IReadOnlyList<string> Unmatched { get; init; }

    /// <summary>What concerns the whole.</summary>
    public required IReadOnlyList<ReturnWarning> Warnings { get; init; }

    /// <summary>Captures that were heard by that run.</summary>
    public required IReadOnlyList<string> Heard { get; init; }

    public int SourceCount => Takes.Select(t => t.Take.Source).Concat(Missing.Select(m => m.Source)).Distinct().Count();

    public int FoundCount => Takes.Select(t => t.Take.Source).Distinct().Count();

    public IEnumerable<TakeView> Kept => Takes.Where(t => t.Mark == TakeMark.Keep);

    public int Undecided =>
        Takes
            .Where(t => t.Mark is null)
            .Select(t => t.Take.Source)
            .Distinct()
            .Count(s => !Takes.Any(t => t.Take.Source == s && t.Mark == TakeMark.Keep));

    public string Summary =>
        FoundCount == SourceCount
            ? $"Found {(SourceCount == 1 ? "the sound" : $"all {SourceCount}")}. Listen, and keep what is good."
            : $"Found {FoundCount} of {SourceCount}. What is missing says why.";

    internal static ReturnView Of(PassFolder pass, IReadOnlyList<(string Folder, ReturnSheet Sheet)> sheets)
    {
        var found = sheets
            .SelectMany(s => s.Sheet.Takes.Where(t => t.Found).Select(t => (s.Folder, Take: t)))
            .Select((t, i) => (t.Folder, t.Take, Index: i))
            .ToList();
        var order = sheets.SelectMany(s => s.Sheet.Takes).Select(t => t.Source).Distinct().ToList();
        var takes = new List<TakeView>();
        foreach (var (folder, take, _) in found.OrderBy(f => order.IndexOf(f.Take.Source)).ThenBy(f => f.Index))
        {
            var key = TakeView.KeyOf(take);
            takes.Add(
                new TakeView(
                    key,
                    take,
                    folder,
                    takes.Count(t => t.Take.Source == take.Source) + 1,
                    pass.Plan.Marks.TryGetValue(key, out var mark) ? mark : null
                )
            );
        }
        var missing = sheets
            .SelectMany(s => s.Sheet.Takes)
            .Where(t => !t.Found && !takes.Exists(f => f.Take.Source == t.Source))
            .DistinctBy(t => t.Source)
            .ToList();
        return new ReturnView
        {
            Takes = takes,
            Missing = missing,
            Unmatched = [.. sheets.SelectMany(s => s.Sheet.UnmatchedCaptures).Select(c => Path.GetFileName(c)).Distinct()],
            Warnings = [.. sheets.SelectMany(s => s.Sheet.Warnings).DistinctBy(w => w.Text)],
            Heard = [.. sheets.SelectMany(s => s.Sheet.Captures).Select(c => Path.GetFileName(c.File)).Distinct()],
        };
    }
}
