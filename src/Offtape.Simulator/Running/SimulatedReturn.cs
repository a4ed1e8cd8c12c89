using Offtape.Tape;

namespace Offtape.Simulator;

/// <summary>What came back from a simulated machine, with the truth about it.</summary>
public sealed record SimulatedReturn
{
    /// <summary>The captured channels, all of one length.</summary>
    public required float[][] Channels { get; init; }

    /// <summary>The rate the capture says it has.</summary>
    public required int SampleRateHz { get; init; }

    /// <summary>
    /// For each channel, send seconds to capture seconds of that channel, delay between channels included, phase of the machine's response
    /// excluded. It is stated for the whole send, whether or not all of it was heard.
    /// </summary>
    public required TimeMap[] TruthPerChannel { get; init; }

    /// <summary>Dropouts of all channels, in order of time.</summary>
    public IReadOnlyList<SimulatedDropout> Dropouts { get; init; } = [];

    /// <summary>Weighted two-sigma wow and flutter that the whole wobble, as drawn and scaled, really has, in per cent.</summary>
    public double WowFlutterPercent { get; init; }

    /// <summary>Mean speed of what is heard against the send: above 1 it is sharp.</summary>
    public double SpeedRatio { get; init; } = 1;
}

/// <summary>A dropout as it was drawn.</summary>
/// <param name="Channel">Channel of the capture, counted from 0.</param>
/// <param name="SendSeconds">Where its middle stands in the send.</param>
/// <param name="CaptureSeconds">Where its middle is heard.</param>
/// <param name="LengthMilliseconds">Full width at half of its depth in dB.</param>
/// <param name="DepthDb">Loss in its middle, above 0.</param>
public sealed record SimulatedDropout(int Channel, double SendSeconds, double CaptureSeconds, double LengthMilliseconds, double DepthDb);
