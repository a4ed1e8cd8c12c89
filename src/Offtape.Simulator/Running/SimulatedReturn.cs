using Offtape.Tape;

namespace Offtape.Simulator;

/// <summary>What came back from a simulated machine, with the truth about it.</summary>
public sealed record SimulatedReturn
{
    /// <summary>The captured channels, all of one length.</summary>
    public required float[][] Channels { get; init; }

    /// <summary>The rate the capture says it has. All capture seconds here count in it.</summary>
    public required int SampleRateHz { get; init; }

    /// <summary>
    /// For each channel, send seconds to capture seconds of that channel, delay between channels included, phase of the machine's response
    /// excluded. It is stated for the whole send, whether or not all of it was heard.
    /// </summary>
    public required TimeMap[] TruthPerChannel { get; init; }

    /// <summary>Which track of the send each channel carries, counted from 0.</summary>
    public IReadOnlyList<int> TrackOfChannel { get; init; } = [];

    /// <summary>Dropouts of all channels, in order of time.</summary>
    public IReadOnlyList<SimulatedDropout> Dropouts { get; init; } = [];

    /// <summary>Clicks of all channels, in order of time.</summary>
    public IReadOnlyList<SimulatedClick> Clicks { get; init; } = [];

    /// <summary>The first moment of the send that is on tape (after the leader).</summary>
    public double HeardFromSendSeconds { get; init; }

    /// <summary>The last moment of the send that is on tape.</summary>
    public double HeardToSendSeconds { get; init; }

    /// <summary>Weighted two-sigma wow and flutter that the whole wobble, as drawn and scaled, really has, in per cent; rides and stops apart.</summary>
    public double WowFlutterPercent { get; init; }

    /// <summary>Mean speed of what is heard against the send: above 1 it is sharp.</summary>
    public double SpeedRatio { get; init; } = 1;

    /// <summary>How late the tape is off tape, from the distance of its heads.</summary>
    public double HeadDelaySeconds { get; init; }

    /// <summary>Capture second at which the send's first frame leaks in past the tape; null when nothing leaks.</summary>
    public double? DryLeakAtSeconds { get; init; }

    /// <summary>Samples that the converter clipped.</summary>
    public long ClippedSampleCount { get; init; }
}

/// <summary>A dropout as it was drawn.</summary>
/// <param name="Channel">Channel of the capture, counted from 0.</param>
/// <param name="SendSeconds">Where its middle stands in the send.</param>
/// <param name="CaptureSeconds">Where its middle is heard.</param>
/// <param name="LengthMilliseconds">Full width at half of its depth in dB, as heard.</param>
/// <param name="DepthDb">Loss in its middle, above 0.</param>
public sealed record SimulatedDropout(int Channel, double SendSeconds, double CaptureSeconds, double LengthMilliseconds, double DepthDb);

/// <summary>A click as it was drawn: a step that dies away within a millisecond.</summary>
/// <param name="Channel">Channel of the capture, counted from 0.</param>
/// <param name="CaptureSeconds">Its first sample.</param>
/// <param name="Height">Height of that sample; full scale is 1.</param>
public sealed record SimulatedClick(int Channel, double CaptureSeconds, double Height);
