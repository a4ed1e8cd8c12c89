using System.Text.Json;
using System.Text.Json.Serialization;
using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Web.Uploads;

/// <summary>
/// A note of each file that is on its way in, kept until it is over. Whatever ends the program meanwhile, the next start knows which files
/// did not arrive.
/// </summary>
internal sealed class ComingNotes(string ownFolder)
{
    private readonly string _folder = Path.Combine(ownFolder, "coming");

    public void Keep(Upload upload)
    {
        try
        {
            Directory.CreateDirectory(_folder);
            SafeFile.WriteText(PathOf(upload.Id), JsonSerializer.Serialize(upload, ComingJson.Default.Upload), replace: true);
        }
        catch (Exception error) when (error is Fault or IOException or UnauthorizedAccessException)
        {
            // Then an end on the way is not told; the file itself will say if the disk is full.
        }
    }

    /// <param name="id">One that this program made, so that it is no path.</param>
    public void Drop(string id)
    {
        try
        {
            File.Delete(PathOf(id));
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            // As above.
        }
    }

    /// <summary>What did not arrive, in the order in which it was asked for.</summary>
    public IReadOnlyList<Upload> All() =>
        Directory.Exists(_folder)
            ? [.. Directory.GetFiles(_folder, "*.json").OrderBy(File.GetLastWriteTimeUtc).Select(Read).OfType<Upload>()]
            : [];

    private static Upload? Read(string path)
    {
        try
        {
            var upload = JsonSerializer.Deserialize(File.ReadAllText(path), ComingJson.Default.Upload);
            // Its name is its identity: a note that says otherwise is not ours.
            return upload?.Id == Path.GetFileNameWithoutExtension(path) ? upload : null;
        }
        catch (Exception error) when (error is JsonException or IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    private string PathOf(string id) => Path.Combine(_folder, $"{id}.json");
}

[JsonSourceGenerationOptions(PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase, UseStringEnumConverter = true)]
[JsonSerializable(typeof(Upload))]
internal sealed partial class ComingJson : JsonSerializerContext;
