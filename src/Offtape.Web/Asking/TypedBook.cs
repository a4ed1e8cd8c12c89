using System.Text.Json;
using System.Text.Json.Serialization;
using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Web.Folders;

namespace Offtape.Web.Asking;

/// <summary>
/// What was typed last on screens that work something out, so that nothing is asked twice. It is kept for comfort alone: where it cannot be
/// read or written, the fields are empty the next time.
/// </summary>
public sealed class TypedBook
{
    private const string FileName = "typed.json";
    private readonly string _path;
    private readonly Lock _gate = new();
    private readonly Dictionary<string, Dictionary<string, string>> _typed;

    public TypedBook(StudioFolder studio)
    {
        _path = Path.Combine(studio.Own, FileName);
        _typed = Load(_path);
    }

    /// <summary>What stands in a field; empty: nothing was typed.</summary>
    /// <param name="question">The question it belongs to.</param>
    /// <param name="field">Name of the field.</param>
    public string Of(string question, string field)
    {
        lock (_gate)
            return _typed.GetValueOrDefault(question)?.GetValueOrDefault(field) ?? "";
    }

    public void Keep(string question, string field, string text)
    {
        lock (_gate)
        {
            if (!_typed.TryGetValue(question, out var fields))
                _typed[question] = fields = [];
            fields[field] = text;
            Save();
        }
    }

    /// <summary>Empties all fields of a question.</summary>
    public void Clear(string question)
    {
        lock (_gate)
            if (_typed.Remove(question))
                Save();
    }

    private void Save()
    {
        try
        {
            SafeFile.WriteText(_path, JsonSerializer.Serialize(_typed, TypedJson.Default.TypedFields), replace: true);
        }
        catch (Fault)
        {
            // It stays in memory until the program ends.
        }
    }

    private static Dictionary<string, Dictionary<string, string>> Load(string path)
    {
        try
        {
            return File.Exists(path) ? JsonSerializer.Deserialize(File.ReadAllText(path), TypedJson.Default.TypedFields) ?? [] : [];
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException or JsonException)
        {
            return [];
        }
    }
}

[JsonSerializable(typeof(Dictionary<string, Dictionary<string, string>>), TypeInfoPropertyName = "TypedFields")]
internal sealed partial class TypedJson : JsonSerializerContext;
