namespace Offtape.Passes.Following;

/// <summary>One channel of a source and where it is in the capture.</summary>
/// <param name="SourceChannel">From 0.</param>
/// <param name="CaptureChannel">From 0.</param>
/// <param name="Polarity">+1 or −1.</param>
/// <param name="DelaySeconds">How much later than the path this channel is, by everything but its lowest notes.</param>
/// <param name="Coherence">0 to 1, over the bands with sound.</param>
/// <param name="Gain">Capture over source, linear.</param>
internal sealed record ChannelMatch(
    int SourceChannel,
    int CaptureChannel,
    int Polarity,
    double DelaySeconds,
    double Coherence,
    double Gain
);

/// <summary>All channels of a take.</summary>
internal sealed record ChannelMatches
{
    /// <summary>One for each channel of the source.</summary>
    internal required ChannelMatch[] Channels { get; init; }

    /// <summary>False where the source's channels are the same, or there is one only: then no order can be told.</summary>
    internal required bool IsOrderKnown { get; init; }

    /// <summary>Another channel of the capture that holds the only channel of the source about as clearly; null where there is none.</summary>
    internal ChannelMatch? Twin { get; init; }

    /// <summary>How much later the capture's second channel is than its first; null where both cannot be heard.</summary>
    internal required double? InterchannelDelaySeconds { get; init; }

    /// <summary>The same, with delays counted from the channel that a source channel came back in: its path was moved there.</summary>
    internal ChannelMatches From(int sourceChannel)
    {
        var zero = Channels.First(c => c.SourceChannel == sourceChannel).DelaySeconds;
        return this with { Channels = [.. Channels.Select(c => c with { DelaySeconds = c.DelaySeconds - zero })] };
    }
}
