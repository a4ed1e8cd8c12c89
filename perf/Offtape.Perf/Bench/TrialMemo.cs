namespace Offtape.Perf.Bench;

/// <summary>
/// What is true of a machine whatever the chance drawn: worked out once for all its seeds. One for each machine and way of taking it; a name
/// stands for one figure.
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
