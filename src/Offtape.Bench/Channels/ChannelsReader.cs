namespace Offtape.Bench;

/// <summary>How the channels stand to each other and to the send: balance, crosstalk, delay and azimuth, polarity, order.</summary>
public static class ChannelsReader
{
    public static Findings Read(BenchCapture capture, MachineFacts facts, CancellationToken cancellation)
    {
        var polarity = PolarityReader.Read(capture);
        if (capture.ChannelCount < 2)
            return polarity;
        var layout = ChannelLayout.Of(capture);
        return BalanceReader.Read(capture, cancellation)
            + CrosstalkReader.Read(capture, layout, cancellation)
            + DelayReader.Read(capture, facts, cancellation)
            + polarity
            + new Findings { Readings = [layout.Swapped(capture)] };
    }
}
