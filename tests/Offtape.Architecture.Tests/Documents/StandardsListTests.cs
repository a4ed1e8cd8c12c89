using System.Text.RegularExpressions;
using Offtape.Testing;

namespace Offtape.Architecture.Tests.Documents;

/// <summary>docs/standards-and-sources.md is true: what it names exists, and what cites a standard is named.</summary>
public sealed partial class StandardsListTests
{
    private static readonly string Root = RepositoryRoot.Find();

    private static readonly IReadOnlyList<string[]> Rows = MarkdownTable.Rows(
        "docs/standards-and-sources.md",
        "quantity",
        "source and clause",
        "code",
        "test",
        "tolerance"
    );

    private static readonly ILookup<string, string> TestClasses = Sources("tests")
        .SelectMany(f => ClassName().Matches(f.Text).Select(m => (Name: m.Groups[1].Value, f.Text)))
        .ToLookup(c => c.Name, c => c.Text);

    [Fact]
    public void The_list_is_there_and_every_row_is_whole()
    {
        Assert.True(Rows.Count >= 9, $"{Rows.Count} rows");
        Assert.All(Rows, r => Assert.True(r.Length == 5 && r.All(c => c.Length > 0), string.Join(" | ", r)));
    }

    [Fact]
    public void Every_code_type_named_exists()
    {
        var types = Sources("src").SelectMany(f => TypeName().Matches(f.Text)).Select(m => m.Groups[1].Value).ToHashSet();
        Assert.All(Rows.SelectMany(r => Quoted(r[2])), name => Assert.Contains(name, types));
        Assert.All(Rows, r => Assert.NotEmpty(Quoted(r[2])));
    }

    [Fact]
    public void Every_test_named_exists()
    {
        var missing = Rows.SelectMany(r => Quoted(r[3]))
            .Where(name =>
            {
                var parts = name.Split('.');
                return parts.Length == 1
                    ? !TestClasses.Contains(name)
                    : !TestClasses[parts[0]].Any(text => Regex.IsMatch(text, $@"\bvoid {Regex.Escape(parts[1])}\("));
            });
        Assert.Empty(missing);
        Assert.All(Rows, r => Assert.NotEmpty(Quoted(r[3])));
    }

    [Fact]
    public void Every_test_class_that_cites_a_standard_is_listed()
    {
        var listed = Rows.SelectMany(r => Quoted(r[3])).Select(n => n.Split('.')[0]).ToHashSet();
        var citing = Sources("tests")
            .Where(f =>
                f.Path.EndsWith("Tests.cs", StringComparison.Ordinal) && !f.Path.EndsWith("StandardsListTests.cs", StringComparison.Ordinal)
            )
            .Where(f => Citation().IsMatch(f.Text))
            .Select(f => Path.GetFileNameWithoutExtension(f.Path));
        Assert.All(citing, name => Assert.Contains(name, listed));
    }

    private static IEnumerable<string> Quoted(string cell) => Backticks().Matches(cell).Select(m => m.Groups[1].Value);

    private static IEnumerable<(string Path, string Text)> Sources(string folder) =>
        Directory
            .GetFiles(System.IO.Path.Combine(Root, folder), "*.cs", SearchOption.AllDirectories)
            .Where(p =>
                !p.Contains($"{System.IO.Path.DirectorySeparatorChar}obj{System.IO.Path.DirectorySeparatorChar}", StringComparison.Ordinal)
            )
            .Select(p => (p, File.ReadAllText(p)));

    [GeneratedRegex("`([^`]+)`")]
    private static partial Regex Backticks();

    [GeneratedRegex(@"\bclass (\w+)")]
    private static partial Regex ClassName();

    [GeneratedRegex(@"\b(?:class|struct|record|interface|enum)(?: struct| class)? (\w+)")]
    private static partial Regex TypeName();

    // Bodies that publish standards, with a number or a document name behind them.
    [GeneratedRegex(@"\b(?:ITU-R|EBU (?:Tech|R) ?\d|IEC ?\d|AES\d|DIN ?\d|ISO(?:/IEC)? ?\d|RFC ?\d|JIS [A-Z] ?\d|NAB \d|SMPTE)")]
    private static partial Regex Citation();
}
