using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Passes;
using Offtape.Web.Folders;

namespace Offtape.Web.Printing;

/// <summary>A pass: what was said of it, and where its files lie.</summary>
/// <param name="Studio">The studio it is in.</param>
/// <param name="FolderName">The name of its folder under passes, captures and takes.</param>
/// <param name="Plan">What was said of it.</param>
public sealed record PassFolder(StudioFolder Studio, string FolderName, PassPlan Plan)
{
    public string Folder => Path.Combine(Studio.Passes, FolderName);

    public string SourcesFolder => Path.Combine(Folder, "sources");

    public string CapturesFolder => Path.Combine(Studio.Captures, FolderName);

    public string TakesFolder => Path.Combine(Studio.Takes, FolderName);

    public string SendPath => Path.Combine(Folder, PassSheet.SendFileName);

    public string SheetPath => Path.Combine(Folder, PassSheet.FileName);

    internal string PlanPath => Path.Combine(Folder, PassPlan.FileName);

    public bool HasSend => File.Exists(SendPath) && File.Exists(SheetPath);

    /// <summary>The clean sounds, in their order.</summary>
    public IReadOnlyList<string> Sources()
    {
        var files = Sounds(SourcesFolder);
        var rank = Plan.Order.Select((name, i) => (name, i)).DistinctBy(p => p.name).ToDictionary(p => p.name, p => p.i);
        return [.. files.OrderBy(f => rank.GetValueOrDefault(Path.GetFileName(f), int.MaxValue))];
    }

    /// <summary>What was recorded, in order of name.</summary>
    public IReadOnlyList<string> Captures() => Sounds(CapturesFolder);

    /// <summary>The sheet of its send; null where there is none that can be read.</summary>
    public PassSheet? Sheet()
    {
        try
        {
            return HasSend ? PassSheet.Load(SheetPath) : null;
        }
        catch (Fault)
        {
            return null;
        }
    }

    /// <summary>The file of a source of the sheet: among this pass's own, or where the sheet says, if that is in the studio.</summary>
    public string? SourceFile(string name, PassSheet? sheet)
    {
        var own = Path.Combine(SourcesFolder, name);
        if (Path.GetFileName(name) == name && File.Exists(own) && Studio.Holds(own))
            return own;
        var recorded = sheet?.Items.FirstOrDefault(i => i.Source == name)?.SourcePath;
        if (recorded is null)
            return null;
        var there = Path.GetFullPath(Path.Combine(Folder, recorded));
        return File.Exists(there) && Studio.Holds(there) ? there : null;
    }

    private List<string> Sounds(string folder)
    {
        try
        {
            return Directory.Exists(folder)
                ?
                [
                    .. Directory
                        .GetFiles(folder)
                        .Where(f => AudioFile.IsAudioName(f) && Studio.Holds(f))
                        .OrderBy(f => Path.GetFileName(f), StringComparer.OrdinalIgnoreCase)
                        .ThenBy(f => f, StringComparer.Ordinal),
                ]
                : [];
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            return [];
        }
    }
}
