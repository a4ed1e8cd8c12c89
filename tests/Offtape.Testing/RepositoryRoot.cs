namespace Offtape.Testing;

/// <summary>Where the repository is, for tests that read its documents.</summary>
public static class RepositoryRoot
{
    public static string Find()
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
            if (File.Exists(Path.Combine(folder.FullName, "offtape.slnx")))
                return folder.FullName;
        throw new InvalidOperationException($"No offtape.slnx above {AppContext.BaseDirectory}: run the tests from where they were built.");
    }
}
