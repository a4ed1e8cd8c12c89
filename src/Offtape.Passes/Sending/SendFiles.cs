using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Passes;

/// <summary>The two files of a send, which belong together: both are written, or the folder is as it was.</summary>
internal sealed class SendFiles
{
    private readonly string _folder;
    private readonly bool _replace;

    internal SendFiles(string folder, bool replace)
    {
        (_folder, _replace) = (folder, replace);
        SendPath = Path.Combine(folder, PassSheet.SendFileName);
        SheetPath = Path.Combine(folder, PassSheet.FileName);
    }

    internal string SendPath { get; }
    internal string SheetPath { get; }

    /// <summary>Looked at before any source is read: an hour of reading must not end in a refusal.</summary>
    /// <exception cref="Fault">Output: one of them exists and is not to be replaced.</exception>
    internal void CheckTargets()
    {
        foreach (var path in new[] { SendPath, SheetPath })
        {
            if (Directory.Exists(path))
                throw Fault.Output(path, "a folder of that name stands there", "Choose another folder with --to.");
            if (!_replace && File.Exists(path))
                throw Fault.Output(path, "it exists already", "Choose another folder with --to, or replace it with --force.");
        }
        if (File.Exists(_folder))
            throw Fault.Output(_folder, "it is a file, not a folder", "Choose another folder with --to.");
    }

    /// <summary>Writes both.</summary>
    /// <param name="format">Of the send.</param>
    /// <param name="writeAudio">Writes the whole send; may throw, then nothing stays.</param>
    /// <param name="sheet">Written last: a folder with a sheet has its send.</param>
    /// <returns>Samples that had to be clipped.</returns>
    internal long Write(AudioFormat format, Action<AudioWriter> writeAudio, PassSheet sheet)
    {
        var made = MakeFolder();
        try
        {
            using var writer = AudioWriter.Create(SendPath, format, null, new WriteOptions { Replace = _replace });
            writeAudio(writer);
            var setAside = SetAside();
            var isWritten = false;
            try
            {
                writer.Complete();
                isWritten = true;
                sheet.Save(SheetPath, _replace);
            }
            catch
            {
                // A file that another program put there meanwhile is not ours to delete.
                if (isWritten)
                    File.Delete(SendPath);
                if (setAside is not null)
                    File.Move(setAside, SendPath);
                throw;
            }
            if (setAside is not null)
                File.Delete(setAside);
            return writer.ClippedSampleCount;
        }
        catch (Exception error)
        {
            foreach (var folder in made)
                RemoveIfEmpty(folder);
            if (error is IOException or UnauthorizedAccessException)
                throw Fault.FromOutputError(SendPath, error);
            throw;
        }
    }

    // The send that is being replaced waits under another name until the new sheet is safe as well.
    private string? SetAside()
    {
        if (!File.Exists(SendPath))
            return null;
        var aside = Path.Combine(_folder, $".{PassSheet.SendFileName}.{Path.GetRandomFileName()}");
        File.Move(SendPath, aside);
        return aside;
    }

    // Innermost first.
    private List<string> MakeFolder()
    {
        var missing = new List<string>();
        for (
            var folder = Path.GetFullPath(_folder);
            folder is not null && !Directory.Exists(folder);
            folder = Path.GetDirectoryName(folder)
        )
            missing.Add(folder);
        try
        {
            Directory.CreateDirectory(_folder);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(_folder, error);
        }
        return missing;
    }

    private static void RemoveIfEmpty(string folder)
    {
        if (Directory.Exists(folder) && !Directory.EnumerateFileSystemEntries(folder).Any())
            Directory.Delete(folder);
    }
}
