using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Bench;

/// <summary>The folder that receives what the bench writes.</summary>
internal static class BenchFolder
{
    private const string OtherFolder = "Choose another folder with --to, or replace it with --force.";

    /// <summary>Looked at before any work is done: minutes of it must not end in a refusal.</summary>
    /// <exception cref="Fault">Output: one of the files exists and is not to be replaced, or the folder is a file.</exception>
    internal static void CheckTargets(string folder, bool replace, params IEnumerable<string> names)
    {
        if (File.Exists(folder))
            throw Fault.Output(folder, "it is a file, not a folder", "Choose another folder with --to.");
        foreach (var name in names)
        {
            var path = Path.Combine(folder, name);
            if (Directory.Exists(path))
                throw Fault.Output(path, "a folder of that name stands there", "Choose another folder with --to.");
            if (!replace && File.Exists(path))
                throw Fault.Output(path, "it exists already", OtherFolder);
        }
    }

    /// <exception cref="Fault">Output: it cannot be made.</exception>
    internal static void Make(string folder)
    {
        try
        {
            Directory.CreateDirectory(folder);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(folder, error);
        }
    }

    /// <summary>Plots that an earlier report in this folder names as its own; empty where there is none, or it cannot be read.</summary>
    internal static IReadOnlyList<string> PlotsOf(string reportPath)
    {
        try
        {
            return File.Exists(reportPath) ? BenchReport.Load(reportPath).Plots : [];
        }
        catch (Fault)
        {
            // It is replaced as asked; nothing else is touched on its word.
            return [];
        }
    }

    /// <summary>Takes away plots of an earlier report that the new one has not: old pictures beside new figures mislead.</summary>
    internal static void Remove(string folder, IEnumerable<string> names)
    {
        foreach (var name in names)
        {
            // A report may have been edited: only a plot's own plain name is believed, and nothing outside the folder reached.
            if (name != Path.GetFileName(name) || !name.EndsWith(".svg", StringComparison.Ordinal))
                continue;
            try
            {
                File.Delete(Path.Combine(folder, name));
            }
            catch (Exception error) when (error is IOException or UnauthorizedAccessException)
            {
                throw Fault.FromOutputError(Path.Combine(folder, name), error);
            }
        }
    }
}
