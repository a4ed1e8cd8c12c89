namespace Offtape.AudioFiles.Tests;

/// <summary>A folder of a test's own.</summary>
internal sealed class TempFolder : IDisposable
{
    private readonly string _path = Directory.CreateTempSubdirectory("offtape-files-").FullName;

    public string this[string name] => Path.Combine(_path, name);

    /// <summary>Everything in it, hidden files too.</summary>
    public string[] Names => [.. Directory.GetFileSystemEntries(_path).Select(Path.GetFileName).Order(StringComparer.Ordinal)!];

    public string Put(string name, byte[] bytes)
    {
        File.WriteAllBytes(this[name], bytes);
        return this[name];
    }

    public void Dispose() => Directory.Delete(_path, recursive: true);
}
