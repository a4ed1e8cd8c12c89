namespace Offtape.Web.Bringing;

/// <summary>One way of taking the tape's movement out, as a page names and explains it.</summary>
/// <param name="Name">As files and the command have it.</param>
/// <param name="Meaning">In a sentence.</param>
public sealed record RetimingWords(string Name, string Meaning);

/// <summary>The four retimings, from the least taken out to the most.</summary>
public static class Retimings
{
    public const string First = "steady";

    public static IReadOnlyList<RetimingWords> All { get; } =
    [
        new("shift", "Moved to its place and nothing else: the captured samples, bit for bit."),
        new("fit", "One constant ratio: it holds the tempo from the first beat to the last, and keeps every wobble."),
        new("steady", "What is slower than 0.3 Hz is taken out, the quicker movement stays: the usual choice."),
        new("lock", "All movement that can be followed is taken out: for stems that must stay on the grid, and for comparing."),
    ];

    public static RetimingWords? Find(string? name) => All.FirstOrDefault(r => r.Name == name);
}
