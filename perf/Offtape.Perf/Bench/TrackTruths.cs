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
        yield return new Truth("interChannelDelay", null, "", MeanDelayMicroseconds(trial));
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
}
