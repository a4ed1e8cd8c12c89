using Offtape.Studio;

namespace Offtape.Web.Folders;

/// <summary>Which folder holds the work.</summary>
public static class StudioChoice
{
    public const string Variable = StudioPlace.Variable;
    public const string Mark = StudioStore.FileName;
    private const string UsualName = "Offtape";

    /// <summary>What was asked for, else the variable, else the nearest parent that holds <c>studio.db</c>, else a folder of the user's own.</summary>
    /// <param name="asked">As typed; null: nothing.</param>
    /// <param name="variable">Value of <c>OFFTAPE_STUDIO</c>; null or empty: not set.</param>
    /// <param name="workingFolder">Where the search for a parent begins.</param>
    public static string Find(string? asked, string? variable, string workingFolder) =>
        StudioPlace.Find(asked, variable, workingFolder) ?? Path.Combine(OwnFolder(workingFolder), UsualName);

    private static string OwnFolder(string workingFolder)
    {
        foreach (var special in new[] { Environment.SpecialFolder.MyDocuments, Environment.SpecialFolder.UserProfile })
        {
            var folder = Environment.GetFolderPath(special);
            if (folder.Length > 0 && Directory.Exists(folder))
                return folder;
        }
        return workingFolder;
    }
}
