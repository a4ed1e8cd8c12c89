using System.Security.Cryptography;
using Offtape.Base;
using Offtape.Web.Folders;

namespace Offtape.Web.Uploads;

/// <summary>
/// Files that are shown to the app and do not become a part of the studio: each is read once from the browser into a place of the program's
/// own, looked at there, and gone again before the answer is given.
/// </summary>
public sealed class LookDesk
{
    private const int BlockBytes = 1 << 17;
    private readonly string _folder;
    private readonly WebOptions _options;

    public LookDesk(StudioFolder studio, WebOptions options)
    {
        (_folder, _options) = (Path.Combine(studio.Own, "asked"), options);
        // What a program that was killed left behind; the studio is open once only, so nobody else is reading there.
        if (Directory.Exists(_folder))
            Directory.Delete(_folder, recursive: true);
    }

    /// <param name="name">As the user knows it.</param>
    /// <param name="byteCount">How much comes.</param>
    /// <param name="content">The file; read to its end.</param>
    /// <param name="inTerminal">The command that reads it in its own place, where there is no room here.</param>
    /// <param name="look">Given its path; the file has no ending there.</param>
    /// <param name="progress">Given the share that has come.</param>
    /// <param name="cancellation">Stops it.</param>
    /// <exception cref="Fault">No room, not all of it came, or what <paramref name="look"/> throws.</exception>
    internal async Task<T> Look<T>(
        string name,
        long byteCount,
        Stream content,
        string inTerminal,
        Func<string, CancellationToken, T> look,
        Action<double> progress,
        CancellationToken cancellation
    )
    {
        var free = Math.Max(0, _options.FreeBytes(Path.GetDirectoryName(_folder)!) - _options.RoomLeftBytes);
        if (byteCount > free)
            throw Fault.Input(
                name,
                $"it holds {Words.ByteSize(byteCount)}, and {Words.ByteSize(free)} can be used on the disk while it is looked at",
                null,
                $"Make room, or ask in a terminal, where it is read in its own place: {inTerminal}."
            );
        var path = Path.Combine(_folder, Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16)));
        try
        {
            Directory.CreateDirectory(_folder);
            await Bring(path, name, byteCount, content, progress, cancellation);
            return await Task.Run(() => look(path, cancellation), cancellation);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.Input(name, $"it could not be read to its end: {error.Message.TrimEnd('.')}", null, "Choose it again.");
        }
        catch (Fault fault) when (fault.File == path)
        {
            // By the name that the user knows.
            throw Fault.Input(name, fault.Message[(fault.Message.IndexOf(": ", StringComparison.Ordinal) + 2)..].TrimEnd('.'));
        }
        finally
        {
            File.Delete(path);
        }
    }

    private static async Task Bring(
        string path,
        string name,
        long byteCount,
        Stream content,
        Action<double> progress,
        CancellationToken cancellation
    )
    {
        await using var file = new FileStream(path, FileMode.CreateNew, FileAccess.Write, FileShare.None, 0, FileOptions.Asynchronous);
        var block = new byte[BlockBytes];
        long came = 0;
        for (int got; (got = await content.ReadAsync(block, cancellation)) > 0; )
        {
            await file.WriteAsync(block.AsMemory(0, got), cancellation);
            came += got;
            progress((double)came / Math.Max(1, byteCount));
        }
        if (came != byteCount)
            throw Fault.Input(name, "not all of it arrived", null, "Choose it again.");
    }
}
