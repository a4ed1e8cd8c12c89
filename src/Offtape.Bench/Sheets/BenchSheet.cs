using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Passes;

namespace Offtape.Bench;

/// <summary>What stands where in a check signal.</summary>
public sealed record BenchSheet
{
    public const int CurrentFormatVersion = 1;

    internal const string What = "the sheet of a check signal";

    // Far above the sheet of 64 channels; a file beyond it is something else.
    private const long MostBytes = 64_000_000;
    public const string FileName = "bench-sheet.json";
    public const string SignalFileName = "bench.wav";

    public required int FormatVersion { get; init; }

    /// <summary>The same for the same signal, whatever its rate; its slates say a short number made from it.</summary>
    public required string SheetId { get; init; }

    public required int SampleRateHz { get; init; }

    public required int ChannelCount { get; init; }

    /// <summary>Peak of the sine that stands for the machine's operating level.</summary>
    public required double OperatingLevelDbfs { get; init; }

    public required double LengthSeconds { get; init; }

    public required IReadOnlyList<BenchPart> Parts { get; init; }

    public required IReadOnlyList<SheetSlate> Slates { get; init; }

    /// <summary>Reads a sheet.</summary>
    /// <param name="path">The file, or the folder that holds <c>bench-sheet.json</c>.</param>
    /// <exception cref="Fault">Input: no such file, not such a sheet, a later version, or a field that cannot be.</exception>
    public static BenchSheet Load(string path)
    {
        var file = Directory.Exists(path) ? Path.Combine(path, FileName) : path;
        var sheet = BenchSheetJson.Read(VersionedJson.ReadBytes(file, What, MostBytes), file);
        BenchSheetCheck.Check(sheet, file);
        return sheet;
    }

    /// <summary>Writes the sheet, whole or not at all.</summary>
    /// <exception cref="Fault">Output: it exists and is not to be replaced, or cannot be written.</exception>
    public void Save(string path, bool replace = false) => SafeFile.WriteText(path, ToJson(), replace);

    public string ToJson() => BenchSheetJson.Write(this);
}
