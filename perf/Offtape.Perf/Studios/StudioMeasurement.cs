using System.Diagnostics;
using Offtape.Studio;
using Offtape.Studio.Writer;

namespace Offtape.Perf.Studios;

/// <summary>How long it takes to open a large studio and to find something in it; and how long two writers make each other wait.</summary>
internal static class StudioMeasurement
{
    private const int Batch = 1000;

    /// <param name="arguments">[passes] [rounds].</param>
    public static int Run(string[] arguments)
    {
        var count = arguments.Length > 0 ? int.Parse(arguments[0]) : 100_000;
        var rounds = arguments.Length > 1 ? int.Parse(arguments[1]) : 20;
        Machine.Print();
        var folder = Directory.CreateTempSubdirectory("offtape-studio-perf-").FullName;
        try
        {
            Fill(folder, count);
            Console.WriteLine();
            Console.WriteLine("| what | answer | first, ms | middle of the rest, ms | longest of the rest, ms |");
            Console.WriteLine("| --- | --- | --- | --- | --- |");
            Open(folder, rounds);
            Search(folder, rounds);
            Console.WriteLine();
            Together(folder);
            return 0;
        }
        finally
        {
            Directory.Delete(folder, true);
        }
    }

    private static void Fill(string folder, int count)
    {
        var watch = Stopwatch.StartNew();
        using var store = StudioStore.Open(folder);
        // Only for the filling: the pages of a large database go in and out of a small memory otherwise.
        store.Read(c => Dapper.SqlMapper.Execute(c, "PRAGMA cache_size = -1000000"));
        var passes = new InventedPasses(7);
        for (var done = 0; done < count; done += Batch)
            passes.Fill(store, Math.Min(Batch, count - done));
        Console.WriteLine(
            $"{count} passes with their returns; {new FileInfo(store.DatabasePath).Length / 1e6:F0} MB; filled in {watch.Elapsed.TotalSeconds:F0} s."
        );
    }

    private static void Open(string folder, int rounds) =>
        Time(
            "opening, and the newest pass",
            rounds,
            () =>
            {
                using var store = StudioStore.OpenExisting(folder);
                return new LogSearch(store).Passes(new PassFilter { Limit = 1 }).Count;
            }
        );

    private static void Search(string folder, int rounds)
    {
        using var store = StudioStore.OpenExisting(folder);
        var search = new LogSearch(store);
        var newest = search.Passes(new PassFilter { Limit = 1 })[0];
        (string Words, PassFilter Filter)[] questions =
        [
            ("the newest 50", new PassFilter()),
            ("one pass by its name", new PassFilter { PassId = newest.PassId }),
            ("machine and speed", new PassFilter { Machine = "attic reel", SpeedCmPerSecond = 9.5 }),
            ("tape and side", new PassFilter { Tape = newest.Tape, Side = newest.Side }),
            ("a month", new PassFilter { From = "2015-03-01", To = "2015-03-31" }),
            ("a sound's name in full", new PassFilter { Source = newest.Sources[0] }),
            ("a part of a name that many sounds have", new PassFilter { Source = "glass" }),
            ("a number in a name", new PassFilter { Source = "1234" }),
            ("two letters", new PassFilter { Source = "gl" }),
            ("what is not there", new PassFilter { Source = "theremin" }),
            (
                "machine, speed, sound and days",
                new PassFilter
                {
                    Machine = "corner deck",
                    SpeedCmPerSecond = 19.05,
                    Source = "marimba",
                    From = "2016-01-01",
                }
            ),
        ];
        foreach (var (words, filter) in questions)
            Time(words, rounds, () => search.Passes(filter).Count);
    }

    private static void Time(string words, int rounds, Func<int> ask)
    {
        var times = new double[rounds];
        var answer = 0;
        for (var round = 0; round < rounds; round++)
        {
            var watch = Stopwatch.StartNew();
            answer = ask();
            times[round] = watch.Elapsed.TotalMilliseconds;
        }
        var rest = times.Skip(1).Order().ToArray();
        Console.WriteLine($"| {words} | {answer} | {times[0]:F1} | {rest[rest.Length / 2]:F1} | {rest[^1]:F1} |");
    }

    private static void Together(string folder)
    {
        const int each = 200;
        var longest = new double[2];
        Parallel.For(
            0,
            2,
            new ParallelOptions { MaxDegreeOfParallelism = 2 },
            i =>
            {
                using var store = StudioStore.OpenExisting(folder);
                var passes = new InventedPasses(900 + i);
                for (var n = 0; n < each; n++)
                {
                    var watch = Stopwatch.StartNew();
                    passes.Send(store);
                    longest[i] = Math.Max(longest[i], watch.Elapsed.TotalMilliseconds);
                }
            }
        );
        using var after = StudioStore.OpenExisting(folder);
        Console.WriteLine(
            $"Two that wrote {each} sends each at once: the longest wait for one send was {longest.Max():F0} ms; the database is {(after.IntegrityFaults().Count == 0 ? "sound" : "damaged")}."
        );
    }
}
