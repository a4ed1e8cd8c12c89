using System.Security.Cryptography;
using Offtape.Base;
using Offtape.Studio;
using Offtape.Web.Folders;

namespace Offtape.Web.Logging;

/// <summary>
/// Which tape and machine made a file that is shown to the app. The file is read once from the browser into a place of the program's own,
/// looked at there, and gone again before the answer is given: it never becomes a part of the studio.
/// </summary>
public sealed class FileQuestion
{
    private const int BlockBytes = 1 << 17;
    private readonly string _folder;
    private readonly LogReader _log;
    private readonly WebOptions _options;

    public FileQuestion(StudioFolder studio, LogReader log, WebOptions options)
    {
        (_folder, _log, _options) = (Path.Combine(studio.Own, "asked"), log, options);
        // What a program that was killed left behind; the studio is open once only, so nobody else is reading there.
        if (Directory.Exists(_folder))
            Directory.Delete(_folder, recursive: true);
    }

    /// <param name="name">As the user knows it.</param>
    /// <param name="byteCount">How much comes.</param>
    /// <param name="content">The file; read to its end.</param>
    /// <param name="progress">Given the share that has come.</param>
    /// <param name="cancellation">Stops it.</param>
    /// <exception cref="Fault">No room, not all of it came, or the log cannot be read.</exception>
    public async Task<FileOrigin> Ask(string name, long byteCount, Stream content, Action<double> progress, CancellationToken cancellation)
    {
        var free = Math.Max(0, _options.FreeBytes(Path.GetDirectoryName(_folder)!) - _options.RoomLeftBytes);
        if (byteCount > free)
            throw Fault.Input(
                name,
                $"it holds {Words.ByteSize(byteCount)}, and {Words.ByteSize(free)} can be used on the disk while it is looked at",
                null,
                "Make room, or ask in a terminal, where it is read in its own place: offtape log find FILE."
            );
        var path = Path.Combine(_folder, Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(16)));
        try
        {
            Directory.CreateDirectory(_folder);
            await Bring(path, name, byteCount, content, progress, cancellation);
            var nothing = new FileOrigin { File = name, Sha256 = "" };
            var found = await Task.Run(() => _log.Read(nothing, s => new OriginSearch(s).Of(path, cancellation)), cancellation);
            return found with { File = name };
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.Input(name, $"it could not be read to its end: {error.Message.TrimEnd('.')}", null, "Choose it again.");
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
