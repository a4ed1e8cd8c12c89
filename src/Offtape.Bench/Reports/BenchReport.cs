using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Bench;

/// <summary>Everything that was read of one machine in one sitting: bench.json, and what pages and comparisons are made from.</summary>
public sealed record BenchReport
{
    public const int CurrentFormatVersion = 1;

    // Far above the report of many runs; a file beyond it is something else.
    private const long MostBytes = 64_000_000;
    public const string FileName = "bench.json";

    public int FormatVersion { get; init; } = CurrentFormatVersion;

    /// <summary>The machine's name; empty where it was not said.</summary>
    public required string Machine { get; init; }

    public required HowTaken How { get; init; }

    /// <summary>The day, as YYYY-MM-DD: as told, else that of the capture's file; null where neither is known.</summary>
    public string? Date { get; init; }

    /// <summary>The first capture; all of them stand in <see cref="Runs"/>.</summary>
    public required string Capture { get; init; }

    public required string SheetId { get; init; }

    /// <summary>Peak of the sine that stood for the machine's operating level in the send.</summary>
    public required double OperatingLevelDbfs { get; init; }

    /// <summary>What was known beforehand, and readings hang on.</summary>
    public required ReportFacts Facts { get; init; }

    /// <summary>The runs that the readings are the mean of; empty where none was found.</summary>
    public required IReadOnlyList<ReportRun> Runs { get; init; }

    /// <summary>Every part of the sheet: heard in at least one run, or missing in all with the reason.</summary>
    public required IReadOnlyList<ReportPart> Parts { get; init; }

    public required IReadOnlyList<Reading> Readings { get; init; }

    public required IReadOnlyList<ReadingCurve> Curves { get; init; }

    public required IReadOnlyList<Notice> Notices { get; init; }

    /// <summary>Readings outside a limit that was asked for.</summary>
    public IReadOnlyList<string> OutsideLimits { get; init; } = [];

    /// <summary>What the readings point to; null in a report of an earlier version.</summary>
    public Diagnosis? Diagnosis { get; init; }

    /// <summary>File names of the plots that were written beside it; empty for a report that was not written, or by an earlier version.</summary>
    public IReadOnlyList<string> Plots
    {
        // Reports of earlier versions have none.
        get => field ?? [];
        init;
    } = [];

    /// <summary>The sentence for a person.</summary>
    public required string Summary { get; init; }

    /// <summary>A reading that has a value; null otherwise.</summary>
    /// <param name="quantity">Its name.</param>
    /// <param name="channel">From 1; null for what belongs to the whole or to a pair.</param>
    /// <param name="condition">Its condition, or the beginning of it; null for the first there is.</param>
    public Reading? Find(string quantity, int? channel = null, string? condition = null) =>
        Readings.FirstOrDefault(r =>
            r.Quantity == quantity
            && r.Channel == channel
            && r.Value is not null
            && (condition is null || r.Condition.StartsWith(condition, StringComparison.Ordinal))
        );

    /// <summary>Whether a reading was to be had at all: not where the part it is read from was not among those that were named.</summary>
    public static bool IsAsked(Reading reading) => reading.Reason?.EndsWith(ReportPart.NotAsked, StringComparison.Ordinal) != true;

    /// <summary>Reads a report.</summary>
    /// <param name="path">The file, or the folder that holds <c>bench.json</c>.</param>
    /// <exception cref="Fault">Input: no such file, not a report, or a later version.</exception>
    public static BenchReport Load(string path)
    {
        var file = Directory.Exists(path) ? Path.Combine(path, FileName) : path;
        return BenchReportJson.Read(VersionedJson.ReadBytes(file, BenchReportJson.What, MostBytes), file);
    }

    /// <summary>Writes the report, whole or not at all.</summary>
    /// <exception cref="Fault">Output: it exists and is not to be replaced, or cannot be written.</exception>
    public void Save(string path, bool replace = false) => SafeFile.WriteText(path, ToJson() + "\n", replace);

    public string ToJson() => BenchReportJson.Write(this);
}
