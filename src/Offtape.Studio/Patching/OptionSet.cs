namespace Offtape.Studio;

/// <summary>Options in the making: of those with the same parts the best, and none that needs more than another.</summary>
internal sealed class OptionSet
{
    private readonly Dictionary<string, JoinOption> _byParts = [];

    public void Add(JoinOption option)
    {
        var key = string.Join(',', option.Parts);
        if (!_byParts.TryGetValue(key, out var there) || option.IsBetterThan(there))
            _byParts[key] = option;
    }

    public IReadOnlyList<JoinOption> Pruned()
    {
        var kept = new List<JoinOption>();
        foreach (var option in _byParts.Values.OrderBy(o => o.Parts.Length))
            if (!kept.Exists(option.NeedsMoreThan))
                kept.Add(option);
        return kept;
    }
}
