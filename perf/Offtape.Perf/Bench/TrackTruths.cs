using Offtape.Base;
using Offtape.Bench;
using Offtape.Tape;

namespace Offtape.Perf.Bench;

/// <summary>What is true of how the tracks lie beside each other, from the model and the true time maps.</summary>
internal static class TrackTruths
{
    internal static IEnumerable<Truth> Of(BenchTrial trial)
    {
        if (trial.Return.Channels.Length < 2)
            yield break;
        // Gain of each track against the one before it.
        yield return new Truth("balance", null, "1 kHz, 0 dB", trial.Model.Tracks.BalanceDb);
        yield return new Truth("balance", null, "3150 Hz, −6 dB", trial.Model.Tracks.BalanceDb);
        yield return new Truth("crosstalk", null, "1 into 2, 1 kHz", trial.Model.Tracks.CrosstalkDb);
        yield return new Truth("crosstalk", null, "2 into 1, 1 kHz", trial.Model.Tracks.CrosstalkDb);
        yield return new Truth("crosstalk", null, "1 into 2, 10 kHz", trial.Model.Tracks.CrosstalkDb);
        yield return new Truth("crosstalk", null, "2 into 1, 10 kHz", trial.Model.Tracks.CrosstalkDb);
        yield return new Truth("interChannelDelay", null, "", MeanDelayMicroseconds(trial));
        if (trial.Capture.Heard.Any(p => p.Kind == BenchPartKind.SpeedTone))
            yield return new Truth("interChannelDelayWander", null, "", WanderMicroseconds(trial));
        yield return new Truth("relativePolarity", null, "", 1);
        yield return new Truth("channelsSwapped", null, "", trial.Options.AreChannelsSwapped ? 1 : 0);
        yield return new Truth("azimuth", null, "", AzimuthMinutes(trial));
    }

    /// <summary>How late the second channel is against the first, over the parts that both carry, from the true maps of both.</summary>
    private static double MeanDelayMicroseconds(BenchTrial trial)
    {
        var maps = trial.Return.TruthPerChannel;
        double sum = 0;
        var count = 0;
        foreach (var part in trial.Capture.Heard.Where(p => p.Channels.Contains(1) && p.Channels.Contains(2)))
        {
            for (var t = part.StartSeconds; t < part.StartSeconds + part.LengthSeconds; t += 0.05)
            {
                sum += maps[1].CaptureAt(t) - maps[0].CaptureAt(t);
                count++;
            }
        }
        return count == 0 ? double.NaN : 1e6 * sum / count;
    }

    /// <summary>Root mean square of the true delay about its mean over the tone that it is read from.</summary>
    private static double WanderMicroseconds(BenchTrial trial)
    {
        var maps = trial.Return.TruthPerChannel;
        var part = trial.Capture.Heard.Single(p => p.Kind == BenchPartKind.SpeedTone);
        var delays = new List<double>();
        for (var t = part.StartSeconds + 0.1; t < part.StartSeconds + part.LengthSeconds - 0.1; t += 0.05)
            delays.Add(1e6 * (maps[1].CaptureAt(t) - maps[0].CaptureAt(t)));
        var mean = delays.Average();
        return Math.Sqrt(delays.Average(d => (d - mean) * (d - mean)));
    }

    // Heads that record and replay are one head in these models unless they are heard off tape.
    private static double? AzimuthMinutes(BenchTrial trial) =>
        trial.How == HowTaken.Rewound && trial.Facts.HeadDistanceMm is null || trial.Facts.Format is not { } format
            ? null
            : Conversions.RadiansToArcMinutes(
                ReplayLosses.AzimuthRadians(
                    format.SpacingMm(format.SideA.First().Number, format.SideA.ElementAt(1).Number),
                    1e-6 * MeanDelayMicroseconds(trial),
                    new TapeSpeed(trial.Model.SpeedCmPerSecond)
                )
            );
}
