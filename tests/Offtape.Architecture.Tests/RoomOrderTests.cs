using System.Xml.Linq;
using Offtape.Testing;

namespace Offtape.Architecture.Tests;

/// <summary>Arrows between rooms point one way. A wrong one fails here, whether it is used yet or only asked for.</summary>
public sealed class RoomOrderTests
{
    public static TheoryData<string> Rooms => [.. House.BuiltRooms];

    [Fact]
    public void Every_folder_under_src_is_a_known_room() =>
        Assert.Equal(
            House.BuiltRooms.Order(),
            Directory.GetDirectories(House.SourceFolder).Select(d => Path.GetFileName(d)["Offtape.".Length..]).Order()
        );

    [Theory, MemberData(nameof(Rooms))]
    public void A_room_uses_only_rooms_before_it(string room)
    {
        var before = House.Rooms.TakeWhile(r => r != room).ToArray();
        Assert.Empty(House.UsedBy(room).Except(before));
        Assert.Empty(House.ReferencedBy(room).Except(before));
    }

    [Theory, MemberData(nameof(Rooms))]
    public void No_room_of_the_product_leans_on_the_simulated_machine(string room)
    {
        if (House.MayUseTheSimulator.Contains(room))
            return;
        Assert.DoesNotContain("Simulator", House.UsedBy(room));
        Assert.DoesNotContain("Simulator", House.ReferencedBy(room));
    }

    [Theory, MemberData(nameof(Rooms))]
    public void Only_the_command_talks_to_the_console(string room)
    {
        if (room is not "Cli")
            Assert.DoesNotContain(House.AssemblyOf(room).GetReferencedAssemblies(), a => a.Name == "System.Console");
    }

    [Theory, MemberData(nameof(Rooms))]
    public void A_room_keeps_its_types_in_its_own_namespace(string room)
    {
        var own = $"Offtape.{room}";
        var strays = House
            .AssemblyOf(room)
            .GetTypes()
            .Where(t => t.Namespace is { } space && space != own && !space.StartsWith(own + ".", StringComparison.Ordinal))
            .Where(t =>
                !t.Namespace!.StartsWith("System", StringComparison.Ordinal)
                && !t.Namespace.StartsWith("Microsoft", StringComparison.Ordinal)
            )
            .Select(t => t.FullName);
        Assert.Empty(strays);
    }

    [Fact]
    public void Every_project_is_in_the_solution()
    {
        var root = RepositoryRoot.Find();
        var inSolution = XDocument
            .Load(Path.Combine(root, "offtape.slnx"))
            .Descendants("Project")
            .Select(e => e.Attribute("Path")!.Value)
            .Order(StringComparer.Ordinal);
        var onDisk = new[] { "src", "tests", "perf" }
            .SelectMany(f => Directory.GetFiles(Path.Combine(root, f), "*.csproj", SearchOption.AllDirectories))
            .Select(p => Path.GetRelativePath(root, p).Replace('\\', '/'))
            .Order(StringComparer.Ordinal);
        Assert.Equal(onDisk, inSolution);
    }
}
