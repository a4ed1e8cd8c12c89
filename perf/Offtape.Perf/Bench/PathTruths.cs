using Offtape.Base;
using Offtape.Bench;

namespace Offtape.Perf.Bench;

/// <summary>What is true of the way through a simulated machine: gain, delay, dropouts.</summary>
internal static class PathTruths
{
    internal static IEnumerable<Truth> Of(BenchTrial trial)
    {
        var peaks = CleanTwin.OperatingPeaks(trial);
        for (var c = 0; c < Math.Min(2, trial.Return.Channels.Length); c++)
        {
            yield return new Truth("pathGain", c + 1, "1 kHz, 0 dB", Conversions.AmplitudeToDb(peaks[c]) - trial.Sheet.OperatingLevelDbfs);
            yield return new Truth("dcOffset", c + 1, "", 100 * trial.Options.DcOffset);
            yield return new Truth("polarity", c + 1, "", trial.Options.IsPolarityInverted ? -1 : 1);
            // All that the model draws is 3 dB deep or deeper.
            yield return new Truth("dropoutsPerMinute", c + 1, "3 dB and deeper", trial.Model.Dropouts.PerMinute);
        }
        var offTape = trial.How == HowTaken.OffTape && trial.Facts.SendStartCaptureSeconds is not null;
        yield return new Truth("sendToReturnDelay", null, "", offTape ? MeanDelayMilliseconds(trial) : null);
        yield return new Truth("headDistance", null, "", offTape ? trial.Model.Transport.HeadDistanceMm : null);
    }

    // The tape's own speed in this run says how late it was, not its name's.
    private static double MeanDelayMilliseconds(BenchTrial trial)
    {
        var map = trial.Return.TruthPerChannel[0];
        var sum = 0.0;
        const int steps = 4000;
        for (var i = 0; i < steps; i++)
        {
            var t = trial.Sheet.LengthSeconds * (i + 0.5) / steps;
            sum += map.CaptureAt(t) - t;
        }
        return 1000 * (sum / steps - trial.Facts.SendStartCaptureSeconds!.Value - trial.Facts.InterfaceDelaySeconds);
    }
}
