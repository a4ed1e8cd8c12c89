using System.Text.Json.Serialization;

namespace Offtape.Bench;

/// <summary>One run of the check signal in one capture.</summary>
public sealed record ReportRun
{
    public required string File { get; init; }

    public required int SampleRateHz { get; init; }

    public required int ChannelCount { get; init; }

    /// <summary>When the send's first frame is heard, in seconds of the file.</summary>
    public required double StartSeconds { get; init; }

    /// <summary>When its last frame is heard.</summary>
    public required double EndSeconds { get; init; }

    /// <summary>Send seconds a capture second: above 1 it is heard faster than it was sent.</summary>
    public required double SpeedRatio { get; init; }

    public required IReadOnlyList<string> Heard { get; init; }

    public required IReadOnlyList<MissingPart> Missing { get; init; }

    /// <summary>Parts in which the converter clipped.</summary>
    public required IReadOnlyList<string> Clipped { get; init; }

    internal static ReportRun From(BenchCapture capture)
    {
        var start = capture.Clock.CaptureAt(0) + capture.StartInFileSeconds;
        var end = capture.Clock.CaptureAt(capture.Sheet.LengthSeconds) + capture.StartInFileSeconds;
        return new ReportRun
        {
            File = Path.GetFileName(capture.File),
            SampleRateHz = capture.SampleRateHz,
            ChannelCount = capture.ChannelCount,
            StartSeconds = start,
            EndSeconds = end,
            SpeedRatio = capture.Sheet.LengthSeconds / (end - start),
            Heard = [.. capture.Heard.Select(p => p.Name)],
            Missing = capture.Missing,
            Clipped = [.. capture.Clipped.Order(StringComparer.Ordinal)],
        };
    }
}

/// <summary>A part of the sheet over all runs.</summary>
/// <param name="Name">As on the sheet.</param>
/// <param name="Heard">Wholly, in one run at least.</param>
/// <param name="Reason">Why it was not heard in any; null where it was.</param>
public sealed record ReportPart(string Name, bool Heard, string? Reason)
{
    /// <summary>The reason of a part that was left out because others were named.</summary>
    internal const string NotAsked = "it was not asked for";

    /// <summary>False where others were named, and this one not.</summary>
    [JsonIgnore]
    public bool IsAsked => Reason != NotAsked;
}
