namespace Offtape.Studio.Tests.Store;

/// <summary>A studio folder of its own for one test, gone afterwards.</summary>
internal sealed class TemporaryStudio : IDisposable
{
    public string Folder { get; } = Directory.CreateTempSubdirectory("offtape-studio-").FullName;

    public string Database => Path.Combine(Folder, StudioStore.FileName);

    public StudioStore Open() => StudioStore.Open(Folder);

    public string this[string name] => Path.Combine(Folder, name);

    public void Dispose() => Directory.Delete(Folder, true);
}
