namespace Offtape.Perf.Bench;

/// <summary>
/// What is true of a machine whatever the chance drawn, however it is taken: worked out once for all its runs. One for each machine; a name stands
/// for one figure.
/// </summary>
internal sealed class TrialMemo
{
    private readonly Dictionary<string, object> _known = new(StringComparer.Ordinal);

    internal T Of<T>(string name, Func<T> work)
        where T : notnull
    {
        if (_known.TryGetValue(name, out var known))
            return (T)known;
        var made = work();
        _known.Add(name, made);
        return made;
    }
}
