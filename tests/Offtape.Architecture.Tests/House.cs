using System.Reflection;
using System.Xml.Linq;
using Offtape.Testing;

namespace Offtape.Architecture.Tests;

/// <summary>The rooms of the house, ground floor first, as they are built and as their project files say.</summary>
internal static class House
{
    /// <summary>A room uses only rooms that stand before it here.</summary>
    public static IReadOnlyList<string> Rooms { get; } =
    [
        "Base",
        "Signal",
        "AudioFiles",
        "Tape",
        "Report",
        "Simulator",
        "Passes",
        "Bench",
        "Shape",
        "Delivery",
        "Duplex",
        "Studio",
        "Web",
        "Cli",
    ];

    /// <summary>The simulated machine is for the demo, tests and measurements: no room of the product may lean on it.</summary>
    public static IReadOnlyList<string> MayUseTheSimulator { get; } = ["Cli"];

    public static string SourceFolder { get; } = Path.Combine(RepositoryRoot.Find(), "src");

    public static IReadOnlyList<string> BuiltRooms { get; } =
    [.. Rooms.Where(r => File.Exists(Path.Combine(SourceFolder, $"Offtape.{r}", $"Offtape.{r}.csproj")))];

    public static Assembly AssemblyOf(string room) => Assembly.Load(room == "Cli" ? "offtape" : $"Offtape.{room}");

    /// <summary>What the compiled room really uses.</summary>
    public static IEnumerable<string> UsedBy(string room) =>
        AssemblyOf(room)
            .GetReferencedAssemblies()
            .Select(a => a.Name!)
            .Where(n => n.StartsWith("Offtape.", StringComparison.Ordinal))
            .Select(n => n["Offtape.".Length..]);

    /// <summary>What the room's project file asks for.</summary>
    public static IEnumerable<string> ReferencedBy(string room) =>
        XDocument
            .Load(Path.Combine(SourceFolder, $"Offtape.{room}", $"Offtape.{room}.csproj"))
            .Descendants("ProjectReference")
            .Select(e => Path.GetFileNameWithoutExtension(e.Attribute("Include")!.Value.Replace('\\', '/')))
            .Select(n => n["Offtape.".Length..]);
}
