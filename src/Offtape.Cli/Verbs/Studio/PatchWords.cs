using Offtape.Base;
using Offtape.Cli.Shell;
using Offtape.Studio;

namespace Offtape.Cli.Verbs.Studio;

/// <summary>Hazards in words, the worst first; what several channels have in common is said once.</summary>
internal static class PatchWords
{
    public static void Say(IReadOnlyList<Hazard> hazards, Sheet sheet)
    {
        foreach (var group in hazards.GroupBy(h => (h.Severity, h.Code, h.Reason, h.Advice)))
        {
            var places = group.Select(h => h.Where).Where(w => w.Length > 0).Distinct().ToArray();
            var where = places.Length switch
            {
                0 => "",
                1 => $"{places[0]}. ",
                _ => $"{places[0]}, and {Words.Count(places.Length - 1, "more like it", "more like it")}. ",
            };
            var (word, paint) = group.Key.Severity switch
            {
                Severity.Refuse => ("Not like this: ", sheet.Ink.Bad),
                Severity.Warn => ("Caution: ", sheet.Ink.Warn),
                _ => ("Note: ", (Func<string, string>)sheet.Ink.Soft),
            };
            sheet.Line();
            sheet.Paragraph($"{word}{where}{group.Key.Reason} {group.Key.Advice} [{group.Key.Code}]", "", paint);
        }
    }
}
