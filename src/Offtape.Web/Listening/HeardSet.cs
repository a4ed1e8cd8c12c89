namespace Offtape.Web.Listening;

/// <summary>What one can switch between at one place of a sound.</summary>
/// <param name="Id">By which a page asks for it; says nothing of the files.</param>
/// <param name="Name">Of the sound.</param>
/// <param name="Files">By the name of the variant: "source" and the retimings, or "recording".</param>
/// <param name="Map">When in the recording each moment is heard; null where there is none.</param>
internal sealed record HeardSet(string Id, string Name, IReadOnlyDictionary<string, string> Files, HeardMap? Map = null)
{
    public const string Source = "source";
    public const string Recording = "recording";

    /// <summary>The difference between the lock take and the source: it has no file.</summary>
    public const string Added = "added";

    /// <summary>The same with the tone matched as well.</summary>
    public const string ToneAside = "aside";

    public const string Lock = "lock";

    public string? FileOf(string variant) => Files.GetValueOrDefault(variant);

    /// <summary>Source and lock take, from which the difference is made; null where one of them is missing.</summary>
    public (string Source, string Take)? Pair => FileOf(Source) is { } source && FileOf(Lock) is { } take ? (source, take) : null;
}
