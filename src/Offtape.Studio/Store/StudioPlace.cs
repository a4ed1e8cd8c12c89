namespace Offtape.Studio;

/// <summary>Which studio folder is in use.</summary>
public static class StudioPlace
{
    public const string Variable = "OFFTAPE_STUDIO";

    /// <summary>The folder asked for, else that of the variable, else the nearest parent that holds a studio; null: none is in use.</summary>
    /// <param name="asked">As typed; null: nothing.</param>
    /// <param name="variable">Value of <see cref="Variable"/>; null or empty: not set.</param>
    /// <param name="workingFolder">Where the search for a parent begins.</param>
    public static string? Find(string? asked, string? variable, string workingFolder)
    {
        if (!string.IsNullOrWhiteSpace(asked))
            return Path.GetFullPath(asked, workingFolder);
        if (!string.IsNullOrWhiteSpace(variable))
            return Path.GetFullPath(variable, workingFolder);
        for (var folder = workingFolder; folder is not null; folder = Path.GetDirectoryName(folder))
        {
            if (File.Exists(Path.Combine(folder, StudioStore.FileName)))
                return folder;
        }
        return null;
    }
}
