using Offtape.Base;
using Offtape.Studio;
using Offtape.Web.Uploads;

namespace Offtape.Web.Logging;

/// <summary>Which tape and machine made a file that is shown to the app. It never becomes a part of the studio.</summary>
public sealed class FileQuestion(LookDesk desk, LogReader log)
{
    /// <param name="name">As the user knows it.</param>
    /// <param name="byteCount">How much comes.</param>
    /// <param name="content">The file; read to its end.</param>
    /// <param name="progress">Given the share that has come.</param>
    /// <param name="cancellation">Stops it.</param>
    /// <exception cref="Fault">No room, not all of it came, or the log cannot be read.</exception>
    public async Task<FileOrigin> Ask(string name, long byteCount, Stream content, Action<double> progress, CancellationToken cancellation)
    {
        var nothing = new FileOrigin { File = name, Sha256 = "" };
        var found = await desk.Look(
            name,
            byteCount,
            content,
            "offtape log find FILE",
            (path, stop) => log.Read(nothing, s => new OriginSearch(s).Of(path, stop)),
            progress,
            cancellation
        );
        return found with { File = name };
    }
}
