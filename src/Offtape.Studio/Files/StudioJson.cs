using System.Text.Json;
using System.Text.Json.Serialization;
using Offtape.Base;

namespace Offtape.Studio;

/// <summary>Reads the studio's JSON files: camelCase, a name that is not known is a fault, comments and trailing commas are allowed.</summary>
internal static class StudioJson
{
    public const int FormatVersion = 1;

    private const long LargestFileBytes = 64L << 20;

    public static StudioContext Context { get; } =
        new(
            new JsonSerializerOptions
            {
                PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
                WriteIndented = true,
                ReadCommentHandling = JsonCommentHandling.Skip,
                AllowTrailingCommas = true,
                RespectNullableAnnotations = true,
                RespectRequiredConstructorParameters = true,
                UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
                DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
            }
        );

    /// <summary>The bytes of a file of reasonable size.</summary>
    /// <exception cref="Fault">Input.</exception>
    public static byte[] Bytes(string path)
    {
        try
        {
            if (new FileInfo(path) is { Exists: true, Length: > LargestFileBytes } big)
                throw Fault.Input(
                    path,
                    $"it holds {Words.ByteSize(big.Length)}, and such a file has at most {Words.ByteSize(LargestFileBytes)}"
                );
            return File.ReadAllBytes(path);
        }
        catch (Exception error) when (error is IOException or UnauthorizedAccessException)
        {
            throw Fault.FromInputError(path, error);
        }
    }

    /// <exception cref="Fault">Input: the text is not JSON of that kind; the line says where and what.</exception>
    public static T Read<T>(byte[] utf8, string path, System.Text.Json.Serialization.Metadata.JsonTypeInfo<T> type, string kind)
    {
        try
        {
            return JsonSerializer.Deserialize(utf8, type) ?? throw Fault.Input(path, $"it is not {kind}");
        }
        catch (JsonException error)
        {
            var place = error.Path is { Length: > 1 } p ? $" at {p[1..].TrimStart('.')}" : "";
            var line = error.LineNumber is { } l ? $", line {l + 1}" : "";
            throw Fault.Input(
                path,
                $"it is not {kind}: something is wrong{place}{line}",
                null,
                $"docs/kit-and-patch.md describes {kind}.",
                error
            );
        }
    }

    public static void CheckVersion(int version, string path, string kind)
    {
        if (version > FormatVersion)
            throw Fault.Input(
                path,
                $"it is {kind} of version {version}, and this program knows version {FormatVersion}",
                null,
                "Use a newer Offtape."
            );
    }
}

/// <summary>A device as it is written.</summary>
internal sealed record DeviceText(IReadOnlyList<string> Sockets)
{
    public string? Name { get; set; }
    public bool SafetyEarth { get; set; }
    public bool EarthLifted { get; set; }
    public bool LiveChassis { get; set; }
    public string? FullScale { get; set; }
}

internal sealed record MonitoringText(int Input, int Output);

/// <summary>A part of one's own as it is written.</summary>
internal sealed record PartText(string Id, string Words, IReadOnlyList<string> Ends, IReadOnlyList<string> Wires)
{
    public string Kind { get; set; } = "cable";
    public double AttenuationDb { get; set; }
    public bool BlocksDc { get; set; }
    public bool Isolates { get; set; }
    public bool TakesSpeakerLevel { get; set; }
}

/// <summary>A patch as it is wired, as it is written.</summary>
internal sealed record WiredText(IReadOnlyList<string> Joins)
{
    public IReadOnlyDictionary<string, string> Pieces { get; set; } = new Dictionary<string, string>();
}

/// <summary>A rig as it is written.</summary>
internal sealed record RigText(DeviceText Interface)
{
    public int FormatVersion { get; set; } = StudioJson.FormatVersion;
    public string? Note { get; set; }
    public IReadOnlyList<DeviceText> Machines { get; set; } = [];
    public IReadOnlyDictionary<string, int> Drawer { get; set; } = new Dictionary<string, int>();
    public IReadOnlyDictionary<string, decimal> Prices { get; set; } = new Dictionary<string, decimal>();
    public IReadOnlyList<PartText> Parts { get; set; } = [];
    public IReadOnlyList<MonitoringText> Monitoring { get; set; } = [];
    public WiredText? Wired { get; set; }
}

internal sealed record MainsText(double Volts, double Hertz);

/// <summary>What is wanted, as it is written.</summary>
internal sealed record RequestText(DeviceText Interface, decimal Money, MainsText Mains)
{
    public int FormatVersion { get; set; } = StudioJson.FormatVersion;
    public string? Note { get; set; }
    public string Currency { get; set; } = "";
    public int Channels { get; set; } = 2;
    public double TapeMinutes { get; set; } = 30;
    public IReadOnlyList<string> Musts { get; set; } = [];
    public IReadOnlyDictionary<string, int> Wishes { get; set; } = new Dictionary<string, int>();
    public IReadOnlyDictionary<string, int> Drawer { get; set; } = new Dictionary<string, int>();
    public IReadOnlyList<string> DrawerTapes { get; set; } = [];
    public IReadOnlyList<string> DrawerTransformers { get; set; } = [];
    public IReadOnlyList<PartText> Parts { get; set; } = [];
    public IReadOnlyDictionary<string, decimal> Repairs { get; set; } = new Dictionary<string, decimal>();
    public decimal? CleaningPerHour { get; set; }
}

[JsonSerializable(typeof(RigText))]
[JsonSerializable(typeof(RequestText))]
internal sealed partial class StudioContext : JsonSerializerContext;
