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

    /// <summary>Capstan diameter in mm; null for the usual ones.</summary>
    public double? CapstanMm { get; init; }

    /// <summary>50 or 60; null where both are to be looked for.</summary>
    public double? MainsHz { get; init; }
}
