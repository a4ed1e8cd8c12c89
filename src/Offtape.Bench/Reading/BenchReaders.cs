namespace Offtape.Bench;

/// <summary>Everything the bench can read, in the order of the report.</summary>
public static class BenchReaders
{
    public static IReadOnlyList<BenchReader> All { get; } = [];
}
