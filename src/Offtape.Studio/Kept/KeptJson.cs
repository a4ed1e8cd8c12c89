using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>The small files that keep what was typed, as JSON.</summary>
internal static class KeptJson
{
    public const int FormatVersion = 1;
    private const long MostBytes = 16_000_000;

    public static KeptContext Context { get; } = new(VersionedJson.Options());

    /// <exception cref="Fault">Input: it cannot be read, or is no such file.</exception>
    public static T Load<T>(string path, string what, JsonTypeInfo<T> type, Func<T, bool> isWhole)
        where T : class =>
        VersionedJson.Read(
            VersionedJson.ReadBytes(path, what, MostBytes),
            path,
            new VersionedFile(what, FormatVersion, "Put it right by hand, or take it away."),
            type,
            isWhole
        );

    public static string Write<T>(T value, JsonTypeInfo<T> type) => JsonSerializer.Serialize(value, type) + "\n";
}

[JsonSerializable(typeof(KeptPass))]
[JsonSerializable(typeof(KeptMachine))]
[JsonSerializable(typeof(KeptTape))]
internal sealed partial class KeptContext : JsonSerializerContext;
