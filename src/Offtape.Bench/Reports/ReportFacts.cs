using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>What a report keeps of the <see cref="MachineFacts"/> it was read with; null for what was not said.</summary>
public sealed record ReportFacts
{
    public double? SpeedCmPerSecond { get; init; }

    /// <summary>The track format as <see cref="TrackFormatNames"/> has it.</summary>
    public string? Format { get; init; }

    public double? HeadDistanceMm { get; init; }

    public double InterfaceDelayMilliseconds { get; init; }

    public double? SendStartCaptureSeconds { get; init; }

    public double? CapstanMm { get; init; }

    public double? MainsHz { get; init; }

    internal static ReportFacts From(MachineFacts facts) =>
        new()
        {
            SpeedCmPerSecond = facts.SpeedCmPerSecond,
            Format = facts.Format is { } format ? TrackFormatNames.Of(format) : null,
            HeadDistanceMm = facts.HeadDistanceMm,
            InterfaceDelayMilliseconds = 1e3 * facts.InterfaceDelaySeconds,
            SendStartCaptureSeconds = facts.SendStartCaptureSeconds,
            CapstanMm = facts.CapstanMm,
            MainsHz = facts.MainsHz,
        };
}
