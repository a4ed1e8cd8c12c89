using Offtape.Studio.Writer;

namespace Offtape.Perf.Studios;

/// <summary>A process that writes passes and returns is killed (SIGKILL) at random moments; every time the database is checked.</summary>
internal static class KillMeasurement
{
    /// <param name="arguments">[rounds].</param>
    public static int Run(string[] arguments)
    {
        var rounds = arguments.Length > 0 ? int.Parse(arguments[0]) : 200;
        Machine.Print();
        Console.WriteLine();
        var folder = Directory.CreateTempSubdirectory("offtape-kills-").FullName;
        var (said, fresh, faulty) = (0, 0, 0);
        try
        {
            for (var round = 1; round <= rounds; round++)
            {
                var isFresh = round % 4 == 0;
                var outcome = KillTrial.Run(isFresh ? Path.Combine(folder, $"fresh{round}") : folder, round, whileWriting: !isFresh);
                said += outcome.Said;
                fresh += isFresh ? 1 : 0;
                if (outcome.Faults.Count == 0)
                    continue;
                faulty++;
                Console.WriteLine($"round {round}: {string.Join("; ", outcome.Faults)}");
            }
        }
        finally
        {
            Directory.Delete(folder, true);
        }
        Console.WriteLine("| kills | of them into the start of a new studio | writes said to be safe | databases not sound or not whole |");
        Console.WriteLine("| --- | --- | --- | --- |");
        Console.WriteLine($"| {rounds} | {fresh} | {said} | {faulty} |");
        return faulty == 0 ? 0 : 1;
    }
}
