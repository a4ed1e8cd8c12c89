using System.Runtime.InteropServices;

namespace Offtape.Perf;

/// <summary>What a result was measured on.</summary>
internal static class Machine
{
    public static void Print()
    {
        Console.WriteLine(
            $"{Processor()}, {Environment.ProcessorCount} cores, {RuntimeInformation.OSDescription}, {RuntimeInformation.FrameworkDescription}"
        );
    }

    private static string Processor()
    {
        const string information = "/proc/cpuinfo";
        if (!File.Exists(information))
            return RuntimeInformation.ProcessArchitecture.ToString();
        string Field(string name) =>
            File.ReadLines(information).FirstOrDefault(line => line.StartsWith(name, StringComparison.Ordinal))?.Split(':')[^1].Trim()
            ?? "?";
        return $"{Field("model name")} (family {Field("cpu family")}, model {Field("model\t")})";
    }
}
