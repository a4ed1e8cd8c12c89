using Offtape.Base;

namespace Offtape.Bench;

/// <summary>Which channel of the capture carries which channel of the send, by the sweeps that only one carries.</summary>
internal sealed class ChannelLayout
{
    // Below this a channel is not told from its neighbour.
    private const double LeastSeparationDb = 6;
    private const double FromHz = 250;
    private const double ToHz = 4000;

    private readonly Dictionary<int, (int Channel, double SeparationDb)> _carriers = [];

    private ChannelLayout() { }

    internal static ChannelLayout Of(BenchCapture capture)
    {
        var layout = new ChannelLayout();
        if (capture.ChannelCount < 2)
            return layout;
        foreach (var part in capture.Of(BenchPartKind.Sweep).Where(p => p.Channels.Count == 1))
        {
            var power = new double[capture.ChannelCount];
            foreach (var frame in SweepFrames.Of(capture, part, FromHz, ToHz))
            {
                for (var channel = 0; channel < power.Length; channel++)
                    power[channel] += frame.Power[channel];
            }
            var order = Enumerable.Range(0, power.Length).OrderByDescending(c => power[c]).ToArray();
            layout._carriers[part.Channels[0]] = (order[0], Conversions.PowerToDb(power[order[0]] / Math.Max(power[order[1]], 1e-30)));
        }
        return layout;
    }

    /// <summary>The capture's channel, from 0, that carries a channel of the send, from 1; null where it cannot be told.</summary>
    internal int? CarrierOf(int sendChannel) =>
        _carriers.TryGetValue(sendChannel, out var found) && found.SeparationDb >= LeastSeparationDb ? found.Channel : null;

    internal Reading Swapped(BenchCapture capture)
    {
        var reading = new Reading
        {
            Quantity = "channelsSwapped",
            Unit = "",
            Method =
                "1 where a channel of the send comes back on another channel of the capture, 0 where none does; by the sweeps of one channel",
        };
        var known = Enumerable.Range(1, capture.ChannelCount).Where(c => CarrierOf(c) is not null).ToArray();
        if (_carriers.Count == 0)
            return reading.Unknown("No sweep of one channel alone was heard");
        if (known.Length == 0)
            return reading.Unknown("Both channels carry the same: the interface or the machine mixes them");
        return reading with { Value = known.Any(c => CarrierOf(c) != c - 1) ? 1 : 0, Uncertainty = 0 };
    }
}
