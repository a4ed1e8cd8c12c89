using System.Text.RegularExpressions;
using System.Xml.Linq;
using Offtape.Testing;

namespace Offtape.Architecture.Tests.Documents;

/// <summary>docs/architecture.md lists every package with licence and reason, and no package is asked for that nobody uses.</summary>
public sealed class DependencyListTests
{
    private static readonly string Root = RepositoryRoot.Find();

    private static readonly string[] Packages =
    [
        .. XDocument
            .Load(Path.Combine(Root, "Directory.Packages.props"))
            .Descendants("PackageVersion")
            .Select(e => e.Attribute("Include")!.Value),
    ];

    [Fact]
    public void Every_package_stands_in_the_list_with_licence_and_reason()
    {
        var rows = MarkdownTable.Rows("docs/architecture.md", "package", "licence", "used by", "reason");
        var tools = Regex
            .Matches(File.ReadAllText(Path.Combine(Root, ".config", "dotnet-tools.json")), "\"([a-z.-]+)\": \\{ \"version\"")
            .Select(m => m.Groups[1].Value);
        Assert.Equal(Packages.Concat(tools).Order(StringComparer.Ordinal), rows.Select(r => r[0]).Order(StringComparer.Ordinal));
        Assert.All(rows, r => Assert.True(r.Length == 4 && r.All(c => c.Length > 0), string.Join(" | ", r)));
    }

    [Fact]
    public void Every_package_is_used_by_a_project()
    {
        var used = new[] { "src", "tests", "perf" }
            .SelectMany(f => Directory.GetFiles(Path.Combine(Root, f), "*.*proj", SearchOption.AllDirectories))
            .Append(Path.Combine(Root, "Directory.Build.props"))
            .Append(Path.Combine(Root, "tests", "Directory.Build.props"))
            .SelectMany(p => XDocument.Load(p).Descendants("PackageReference"))
            .Select(e => e.Attribute("Include")!.Value)
            .ToHashSet();
        Assert.All(Packages, p => Assert.Contains(p, used));
    }

    [Fact]
    public void Every_room_stands_in_the_list_in_its_order()
    {
        var rows = MarkdownTable.Rows("docs/architecture.md", "room", "what it does", "knows nothing of");
        Assert.Equal(House.BuiltRooms, rows.Select(r => r[0].Trim('`')["Offtape.".Length..]));
    }
}
