namespace Offtape.Cli.Tests.Running;

/// <summary>A folder of its own for one test, gone afterwards.</summary>
internal sealed class TemporaryFolder : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("offtape-test-").FullName;

    public string this[string name] => System.IO.Path.Combine(Path, name);

    public string Write(string name, byte[] bytes)
    {
        Directory.CreateDirectory(System.IO.Path.GetDirectoryName(this[name])!);
        File.WriteAllBytes(this[name], bytes);
        return this[name];
    }

    /// <summary>Every file under it, by its path from here.</summary>
    public IReadOnlyList<string> Files =>
        [
            .. Directory
                .GetFiles(Path, "*", SearchOption.AllDirectories)
                .Select(f => System.IO.Path.GetRelativePath(Path, f).Replace('\\', '/'))
                .Order(StringComparer.Ordinal),
        ];

    public void Dispose() => Directory.Delete(Path, true);
}
