using Offtape.Base;

namespace Offtape.AudioFiles;

/// <summary>
/// A file that is being written: under a temporary, hidden name in the folder of its target until <see cref="Complete"/> flushes it to the
/// disk and gives it its name. Disposed before that, nothing of it stays.
/// </summary>
public sealed class PendingFile : IDisposable
{
    private readonly Stream _file;
    private readonly bool _replace;
    private bool _isOver;

    private PendingFile(string path, string temporaryPath, bool replace, Stream file)
    {
        (Path, TemporaryPath, _replace, _file) = (path, temporaryPath, replace, file);
        Stream = new OutputStream(path, file);
    }

    /// <summary>The target, as it was named.</summary>
    public string Path { get; }

    /// <summary>Where to write. Its failures are faults that name the target.</summary>
    public Stream Stream { get; }

    internal string TemporaryPath { get; }

    internal static PendingFile Create(string path, bool replace, Func<string, Stream>? open)
    {
        RefuseTarget(path, replace);
        try
        {
            var folder = System.IO.Path.GetDirectoryName(System.IO.Path.GetFullPath(path)) ?? "";
            // A short name of its own: the target's name with an ending could be longer than the file system allows.
            var temporaryPath = System.IO.Path.Combine(folder, $".offtape-{Guid.NewGuid():N}.part");
            return new PendingFile(path, temporaryPath, replace, (open ?? OpenNew)(temporaryPath));
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            throw Fault.FromOutputError(path, error);
        }
    }

    /// <summary>Flushes to the disk and gives the file its name.</summary>
    /// <exception cref="Fault">The disk is full, or the target has come into being meanwhile; nothing stays.</exception>
    public void Complete()
    {
        ObjectDisposedException.ThrowIf(_isOver, this);
        try
        {
            if (_file is FileStream onDisk)
                onDisk.Flush(flushToDisk: true);
            else
                _file.Flush();
            _file.Dispose();
            File.Move(TemporaryPath, Path, _replace);
            _isOver = true;
        }
        catch (Exception error) when (Fault.IsOutputError(error))
        {
            Dispose();
            // Another program may have made the target while this one was being written.
            if (!_replace)
                RefuseTarget(Path, _replace);
            throw Fault.FromOutputError(Path, error);
        }
    }

    public void Dispose()
    {
        if (_isOver)
            return;
        _isOver = true;
        try
        {
            _file.Dispose();
        }
        catch (Exception error) when (Fault.IsOutputError(error))
        {
            // What could not be written is thrown away with the rest.
        }
        finally
        {
            Delete();
        }
    }

    private static FileStream OpenNew(string path) => new(path, FileMode.CreateNew, FileAccess.ReadWrite, FileShare.Read, 1 << 16);

    private static void RefuseTarget(string path, bool replace)
    {
        if (Directory.Exists(path))
            throw Fault.Output(path, "there is a folder of that name");
        if (!replace && (File.Exists(path) || new FileInfo(path).LinkTarget is not null))
            throw Fault.Output(path, "it exists already", "Use --force to replace it.");
    }

    private void Delete()
    {
        try
        {
            File.Delete(TemporaryPath);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            // The folder went away, or became read-only: there is nothing more to be done, and the fault that led here is the one to tell.
        }
    }
}
