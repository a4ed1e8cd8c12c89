using Offtape.Testing;

namespace Offtape.Studio.Tests;

/// <summary>docs/kit-and-patch.md describes everything that files may hold and everything that is told.</summary>
public sealed class DocumentTests
{
    private static readonly string Page = File.ReadAllText(Path.Combine(RepositoryRoot.Find(), "docs", "kit-and-patch.md"));

    public static TheoryData<string> Words =>
        [
            .. HazardCode.All.Select(c => $"`{c}`"),
            .. SocketWords.Uses.Select(u => $"`{u}`"),
            .. OfferTable.Columns.Select(c => $"`{c}`"),
            .. FeatureWords.All,
            "--only-drawer",
        ];

    [Theory, MemberData(nameof(Words))]
    public void It_is_on_the_page(string word) => Assert.Contains(word, Page, StringComparison.Ordinal);

    [Fact]
    public void Its_sockets_are_understood()
    {
        foreach (
            var line in Page.Split('\n')
                .Where(l => l.StartsWith("| `", StringComparison.Ordinal) && l.Split('`')[1].Count(c => c == ':') >= 2)
        )
            Assert.NotEmpty(SocketWords.Parse(line.Split('`')[1]).Sockets);
    }
}
