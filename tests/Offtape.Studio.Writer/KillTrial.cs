using System.Diagnostics;

namespace Offtape.Studio.Writer;

/// <summary>Starts the writing program as a process of its own, kills it at a random moment without warning (SIGKILL), and looks at what it left.</summary>
public static class KillTrial
{
    // A fresh process needs some tenths of a second before it writes; what falls before that hits the making of the database.
    private const int EarliestMilliseconds = 20;
    private const int LatestFirstMilliseconds = 1500;
    private const int LatestNextMilliseconds = 250;

    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(2);

    /// <summary>One round.</summary>
    /// <param name="Faults">What is wrong with the database afterwards; empty where it is sound, whole and holds all that was said to be safe.</param>
    /// <param name="Said">How many writes the process had said to be safe.</param>
    public sealed record Outcome(IReadOnlyList<string> Faults, int Said);

    /// <param name="folder">The studio; made where it is missing.</param>
    /// <param name="round">Rounds differ; the same one is the same but for the machine's own timing.</param>
    /// <param name="whileWriting">Wait for it to write before the moment is drawn; else the moment may fall into its start.</param>
    public static Outcome Run(string folder, int round, bool whileWriting)
    {
        var moment = new Random(round);
        using var writer = Start(folder, round);
        var said = new List<string>();
        var reading = Task.Run(() =>
        {
            while (writer.StandardOutput.ReadLine() is { } line)
                lock (said)
                    said.Add(line);
        });
        if (whileWriting)
        {
            var watch = Stopwatch.StartNew();
            while (Count(said) < 3 && !writer.HasExited && watch.Elapsed < Patience)
                Thread.Sleep(1);
        }
        Thread.Sleep(moment.Next(EarliestMilliseconds, whileWriting ? LatestNextMilliseconds : LatestFirstMilliseconds));
        var hadEnded = writer.HasExited;
        writer.Kill();
        writer.WaitForExit();
        reading.Wait();
        var faults = new List<string>();
        if (hadEnded)
            faults.Add($"the writer ended by itself: {writer.StandardError.ReadToEnd()}");
        using var store = StudioStore.Open(folder);
        faults.AddRange(store.IntegrityFaults());
        faults.AddRange(InventedPasses.Halves(store));
        var (sends, returns) = InventedPasses.Present(store);
        faults.AddRange(Lost(said, "send ", sends));
        faults.AddRange(Lost(said, "return ", returns));
        return new Outcome(faults, said.Count(l => l.Contains(' ')));
    }

    private static int Count(List<string> said)
    {
        lock (said)
            return said.Count;
    }

    private static IEnumerable<string> Lost(List<string> said, string what, IReadOnlySet<string> present) =>
        said.Where(l => l.StartsWith(what, StringComparison.Ordinal) && !present.Contains(l[what.Length..])).Select(l => $"lost: {l}");

    public static Process Start(string folder, int seed) =>
        Process.Start(
            new ProcessStartInfo(
                Environment.GetEnvironmentVariable("DOTNET_HOST_PATH") ?? "dotnet",
                [Path.Combine(AppContext.BaseDirectory, "Offtape.Studio.Writer.dll"), folder, $"{seed}"]
            )
            {
                UseShellExecute = false,
                RedirectStandardOutput = true,
                RedirectStandardError = true,
            }
        )!;
}
