using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>What is known of the machine beforehand. Everything may be left out; what hangs on it is then not stated.</summary>
public sealed record MachineFacts
{
    public string Name { get; init; } = "";

    public double? SpeedCmPerSecond { get; init; }

    public TrackFormat? Format { get; init; }

    /// <summary>From the gap of the record head to that of the replay head, along the tape, in mm.</summary>
    public double? HeadDistanceMm { get; init; }

    /// <summary>Delay of the audio interface from its output to its input, in seconds.</summary>
    public double InterfaceDelaySeconds { get; init; }

    /// <summary>
    /// Second of the capture's file at which the send's first frame left the interface's memory: 0 where both were started as one. Null where the capture
    /// was started by hand; how late the machine is can then not be known.
    /// </summary>
    public double? SendStartCaptureSeconds { get; init; }

    /// <summary>Capstan diameter in mm; null for the usual ones.</summary>
    public double? CapstanMm { get; init; }

    /// <summary>Turning parts whose size or speed is known, the capstan of <see cref="CapstanMm"/> apart; the others are taken to be usual.</summary>
    public IReadOnlyList<KnownPart> Parts { get; init; } = [];

    /// <summary>50 or 60; null where both are to be looked for.</summary>
    public double? MainsHz { get; init; }

    /// <summary>
    /// Curves of an earlier report of the same machine in good order: its response is taken off before lost treble is judged. Empty for none.
    /// </summary>
    public IReadOnlyList<ReadingCurve> Baseline { get; init; } = [];
}
