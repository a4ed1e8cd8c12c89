namespace Offtape.Bench;

/// <summary>Reads some quantities of a machine from one capture. What cannot be had it gives as null, with the reason.</summary>
/// <param name="Name">What it reads, in one word: it stands in the progress and in what is said when it fails.</param>
/// <param name="Read">A function of what it is given; may run beside others on the same capture.</param>
public sealed record BenchReader(string Name, Func<BenchCapture, MachineFacts, CancellationToken, Findings> Read);
