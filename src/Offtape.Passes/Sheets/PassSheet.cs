using Offtape.AudioFiles;
using Offtape.Base;

namespace Offtape.Passes;

/// <summary>
/// The sheet of a pass: what stands where in its send, and all that a return needs to know. Files are named as seen
/// from its folder. Times are seconds of the send, and every event begins on a whole frame of it.
/// </summary>
public sealed record PassSheet
{
    public const int CurrentFormatVersion = 1;
    public const string FileName = "pass.json";
    public const string SendFileName = "send.wav";

    public required int FormatVersion { get; init; }
    public required string PassId { get; init; }
    public required int SampleRateHz { get; init; }
    public required int ChannelCount { get; init; }

    /// <summary>Send duration ÷ source duration.</summary>
    public required double PrintRatio { get; init; }

    /// <summary>True: each source stands backwards in the send, its last frame at the item's start.</summary>
    public required bool Reversed { get; init; }

    /// <summary>Null: not said.</summary>
    public double? SpeedCmPerSecond { get; init; }

    public SendLayout Layout { get; init; }

    /// <summary>Sample format of the send: "16", "24" or "32f".</summary>
    public string Depth { get; init; } = "24";

    /// <summary>Length of the send, from its first frame to the end of its last.</summary>
    public double LengthSeconds { get; init; }

    /// <summary>The sample peak that was asked for, of the loudest source or of each.</summary>
    public double LevelDbfs { get; init; }
    public bool LevelEach { get; init; }

    /// <summary>Peak of the sine that stands for the machine's operating level.</summary>
    public double OperatingLevelDbfs { get; init; }

    /// <summary>Peak of the slates.</summary>
    public double SlateLevelDbfs { get; init; }

    /// <summary>Layout of the slates' signal; null when there are none.</summary>
    public int? SlateFormatVersion { get; init; }

    public required IReadOnlyList<SheetItem> Items { get; init; }
    public required IReadOnlyList<SheetSlate> Slates { get; init; }
    public SheetStripe? Stripe { get; init; }
    public SheetTone? LineUp { get; init; }

    /// <summary>Length of tape with both margins; null when the speed was not said.</summary>
    public double? TapeMetres { get; init; }
    public double? SideMinutes { get; init; }

    /// <summary>Machine, tape and settings, as far as they were said; null where nothing was.</summary>
    public SheetRun? Run { get; init; }

    /// <summary>When the send was made, UTC, as 2026-05-31T12:00:00Z; null where that was not wanted.</summary>
    public string? MadeAt { get; init; }

    // Far above the sheet of a thousand sources; a file beyond it is something else.
    private const long MostBytes = 16_000_000;

    internal const string What = "a pass sheet";

    /// <summary>Reads a sheet.</summary>
    /// <param name="path">The file, or the folder that holds <c>pass.json</c>.</param>
    /// <exception cref="Fault">Input: no such file, not a pass sheet, or a field that cannot be.</exception>
    public static PassSheet Load(string path)
    {
        var file = Directory.Exists(path) ? Path.Combine(path, FileName) : path;
        var sheet = PassSheetJson.Read(VersionedJson.ReadBytes(file, What, MostBytes), file);
        PassSheetCheck.Check(sheet, file);
        return sheet;
    }

    /// <summary>Writes the sheet, whole or not at all.</summary>
    /// <exception cref="Fault">Output: it exists and is not to be replaced, or cannot be written.</exception>
    public void Save(string path, bool replace = false) => SafeFile.WriteText(path, ToJson(), replace);

    public string ToJson() => PassSheetJson.Write(this);
}
