using Offtape.Base;
using Offtape.Bench;
using Offtape.Passes;

namespace Offtape.Studio;

/// <summary>
/// Puts what was done into the log, each in one transaction. Files are read and hashed first; what cannot be read stops it before anything is
/// written.
/// </summary>
public sealed class StudioLog(StudioStore store)
{
    /// <summary>A send that was written just now.</summary>
    /// <returns>What is new to the log.</returns>
    /// <exception cref="Fault">Its files cannot be read, or the database not written.</exception>
    public IReadOnlyList<Notice> Send(string sheetPath, CancellationToken cancellation = default)
    {
        var record = SendRecord.Of(sheetPath, isOld: false, cancellation);
        return Put(notices => store.Write(c => record.Put(c, store.Paths, notices)));
    }

    /// <summary>A return that was written just now.</summary>
    /// <param name="sheetPath">Path of return.json.</param>
    /// <param name="passes">The pass sheets it was made with, or their folders.</param>
    /// <param name="workingFolder">The folder that paths in the sheet are seen from.</param>
    /// <param name="cancellation">Stops it.</param>
    /// <inheritdoc cref="Send"/>
    public IReadOnlyList<Notice> Return(
        string sheetPath,
        IEnumerable<string> passes,
        string workingFolder,
        CancellationToken cancellation = default
    )
    {
        var sheet =
            ReturnSheet.TryLoad(sheetPath) ?? throw Fault.Input(sheetPath, "it is not the sheet of a return that this program understands");
        var record = ReturnRecord.Of(
            sheet,
            sheetPath,
            file => Path.GetFullPath(file, workingFolder) is var path && Path.Exists(path) ? path : null,
            passes.Select(p => Path.GetFullPath(p, workingFolder)),
            isOld: true,
            cancellation
        );
        return Put(notices => store.Write(c => record.Put(c, store.Paths, notices)));
    }

    /// <summary>A bench that was read just now.</summary>
    /// <param name="reportPath">Path of bench.json.</param>
    /// <param name="captures">What it was read from.</param>
    /// <param name="cancellation">Stops it.</param>
    /// <inheritdoc cref="Send"/>
    public IReadOnlyList<Notice> Bench(string reportPath, IEnumerable<string> captures, CancellationToken cancellation = default)
    {
        var record = BenchRecord.Of(reportPath, captures, cancellation);
        return Put(notices => store.Write(c => record.Put(c, store.Paths, notices)));
    }

    private static List<Notice> Put(Action<List<Notice>> write)
    {
        var notices = new List<Notice>();
        write(notices);
        return notices;
    }
}
