using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization;
using Dapper;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Report;

namespace Offtape.Studio;

/// <summary>
/// Writes finished passes as a folder that is readable without this program: the audio, a sheet as a page and as plain text, the same as JSON, and
/// the hash of every file in the form that sha256sum checks. The folder is there whole or not at all.
/// </summary>
public sealed class JobCloser(StudioStore store)
{
    public const string PageName = "job.html";
    public const string TextName = "job.txt";
    public const string JsonName = "job.json";
    public const string HashesName = "SHA256SUMS";

    /// <param name="passes">What is closed.</param>
    /// <param name="folder">The folder to be made; must not exist.</param>
    /// <param name="name">Name of the job.</param>
    /// <param name="footer">What made it.</param>
    /// <param name="progress">Told by files.</param>
    /// <param name="cancellation">Stops it; nothing stays.</param>
    /// <exception cref="Fault">Output: the folder exists or cannot be written.</exception>
    public ClosedJob Close(
        IReadOnlyList<LoggedPass> passes,
        string folder,
        string name,
        string footer,
        JobProgress progress,
        CancellationToken cancellation
    )
    {
        folder = Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder));
        if (Directory.Exists(folder) || File.Exists(folder))
            throw Fault.Output(folder, "it exists already", "Choose another folder with --to; a closed job is not written into.");
        var part = Path.Combine(Path.GetDirectoryName(folder)!, $".offtape-{Guid.NewGuid():N}.part");
        try
        {
            Directory.CreateDirectory(part);
            var job = Fill(passes, part, name, footer, progress, cancellation);
            Directory.Move(part, folder);
            store.Write(c => JobBook.Put(c, job, store.Paths.ToStored(folder), job.ClosedAt!));
            return job;
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromOutputError(folder, error);
        }
        finally
        {
            if (Directory.Exists(part))
                Directory.Delete(part, recursive: true);
        }
    }

    private ClosedJob Fill(
        IReadOnlyList<LoggedPass> passes,
        string part,
        string name,
        string footer,
        JobProgress progress,
        CancellationToken cancellation
    )
    {
        var files = passes.SelectMany(Files).ToArray();
        var (copied, lacking) = (new List<ClosedFile>(), new List<string>());
        var taken = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        for (var i = 0; i < files.Length; i++)
        {
            cancellation.ThrowIfCancellationRequested();
            progress.Report("copying", (double)i / files.Length, $"copying {Path.GetFileName(files[i].Path)}");
            var source = store.Paths.ToFull(files[i].Path);
            if (!File.Exists(source))
            {
                lacking.Add($"{files[i].Path} is missing");
                continue;
            }
            var to = Free($"{files[i].PassId}/{files[i].Folder}/{Path.GetFileName(files[i].Path)}", taken);
            var target = Path.Combine(part, to);
            Directory.CreateDirectory(Path.GetDirectoryName(target)!);
            File.Copy(source, target);
            // The copy is read, not the source: what is handed over is what was checked.
            if (FileFacts.Of(target, files[i].Kind, cancellation).Sha256 != files[i].Sha256)
            {
                File.Delete(target);
                lacking.Add($"{files[i].Path} has changed since it was logged");
                continue;
            }
            copied.Add(new ClosedFile(to, files[i].Kind, files[i].Sha256, files[i].PassId, files[i].What));
        }
        var job = new ClosedJob(name, passes, copied, lacking) { ClosedAt = Words.Moment(DateTime.UtcNow) };
        SafeFile.WriteText(Path.Combine(part, PageName), JobSheet.Page(job, footer).ToHtml(), replace: false);
        SafeFile.WriteText(Path.Combine(part, TextName), JobSheet.Text(job, footer), replace: false);
        SafeFile.WriteText(Path.Combine(part, JsonName), JsonSerializer.Serialize(job, JobJson.Default.ClosedJob) + "\n", replace: false);
        SafeFile.WriteText(Path.Combine(part, HashesName), Hashes(part, cancellation), replace: false);
        return job;
    }

    /// <summary>Lines of sha256sum: hash, two spaces, path.</summary>
    private static string Hashes(string part, CancellationToken cancellation)
    {
        var text = new StringBuilder();
        foreach (var path in Directory.GetFiles(part, "*", SearchOption.AllDirectories).Order(StringComparer.Ordinal))
            text.Append($"{FileFacts.Of(path, "", cancellation).Sha256}  {Path.GetRelativePath(part, path).Replace('\\', '/')}\n");
        return text.ToString();
    }

    private static string Free(string path, HashSet<string> taken)
    {
        for (var number = 1; ; number++)
        {
            var name = number == 1 ? path : $"{path[..^Path.GetExtension(path).Length]}-{number}{Path.GetExtension(path)}";
            if (taken.Add(name))
                return name;
        }
    }

    private FileRow[] Files(LoggedPass pass) =>
        store.Read(c =>
            c.Query<FileRow>(
                    """
                    SELECT DISTINCT @passId AS PassId, f.path AS Path, f.sha256 AS Sha256, f.kind AS Kind, x.folder AS Folder, x.what AS What FROM (
                        SELECT s.sheetFileId AS fileId, 'send' AS folder, 'the pass sheet' AS what FROM sends s WHERE s.passId = @passId
                        UNION SELECT s.sendFileId, 'send', 'what was played' FROM sends s WHERE s.passId = @passId
                        UNION SELECT f.id, 'sources', i.name FROM sends s JOIN sendItems i ON i.sendId = s.id JOIN sources o ON o.id = i.sourceId
                            JOIN files f ON f.id = (SELECT max(id) FROM files WHERE sha256 = o.sha256 AND kind = 'source') WHERE s.passId = @passId
                        UNION SELECT c.fileId, 'captures', 'what came back' FROM returnPasses r JOIN passes p ON p.id = r.passId JOIN sends s ON s.id = p.sendId
                            JOIN captures c ON c.id = r.captureId WHERE s.passId = @passId
                        UNION SELECT tf.fileId, 'takes/' || tf.retiming, t.sourceName FROM takes t JOIN passes p ON p.id = t.passId JOIN sends s ON s.id = p.sendId
                            JOIN takeFiles tf ON tf.takeId = t.id WHERE s.passId = @passId
                        UNION SELECT r.sheetFileId, 'takes', 'the sheet of the return' FROM returns r JOIN returnPasses q ON q.returnId = r.id
                            JOIN passes p ON p.id = q.passId JOIN sends s ON s.id = p.sendId WHERE s.passId = @passId
                    ) x JOIN files f ON f.id = x.fileId WHERE f.replacedAt IS NULL ORDER BY x.folder, f.path
                    """,
                    new { passId = pass.PassId }
                )
                .ToArray()
        );

    private sealed record FileRow
    {
        public string PassId { get; init; } = "";
        public string Path { get; init; } = "";
        public string Sha256 { get; init; } = "";
        public string Kind { get; init; } = "";
        public string Folder { get; init; } = "";
        public string What { get; init; } = "";
    }
}

[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase, WriteIndented = true)]
[JsonSerializable(typeof(ClosedJob))]
internal sealed partial class JobJson : JsonSerializerContext;
