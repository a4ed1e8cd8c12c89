using Offtape.Base;

namespace Offtape.Simulator;

/// <summary>The recorder at the end of the chain: its level control, its converter's limits, the order and the label of its channels.</summary>
internal static class Interface
{
    internal static SimulatedReturn Finish(
        MachineModel model,
        RunOptions options,
        Replay replay,
        RunPlan plan,
        CapturedTrack[] captured,
        IReadOnlyList<int> tracks
    )
    {
        var order = Enumerable.Range(0, captured.Length).ToArray();
        if (options.AreChannelsSwapped)
            Array.Reverse(order);
        var channels = Array.ConvertAll(order, i => captured[i].Samples);
        if (options.CaptureLevelControl is { } control)
        {
            var operatingLevel = Conversions.DbToAmplitude(model.CaptureOperatingLevelDbfs + options.CaptureGainDb);
            LevelControl.Apply(control, channels, operatingLevel, replay.SampleRateHz);
        }
        var clipped = options.ClipsAtFullScale ? channels.Sum(Clip) : 0L;
        var (label, stretch) = Label(options, replay.SampleRateHz);
        var truth = Array.ConvertAll(order, i => captured[i].Truth.Stretched(stretch));
        var from = Math.Max(0, options.LeaderSeconds);
        var to = Math.Min(plan.SendSeconds, options.TapeEndsSeconds);
        return new SimulatedReturn
        {
            Channels = channels,
            SampleRateHz = label,
            TruthPerChannel = truth,
            TrackOfChannel = Array.ConvertAll(order, i => tracks[i]),
            Dropouts =
            [
                .. order
                    .SelectMany(
                        (i, channel) =>
                            captured[i].Dropouts.Select(d => d with { Channel = channel, CaptureSeconds = d.CaptureSeconds * stretch })
                    )
                    .OrderBy(d => d.CaptureSeconds),
            ],
            Clicks =
            [
                .. order
                    .SelectMany(
                        (i, channel) =>
                            captured[i].Clicks.Select(c => c with { Channel = channel, CaptureSeconds = c.CaptureSeconds * stretch })
                    )
                    .OrderBy(c => c.CaptureSeconds),
            ],
            HeardFromSendSeconds = Math.Min(from, to),
            HeardToSendSeconds = to,
            WowFlutterPercent = plan.WowFlutterPercent,
            SpeedRatio = 1 / Math.Abs(truth[0].MeanRate),
            HeadDelaySeconds = plan.HeadDelaySeconds,
            DryLeakAtSeconds = double.IsNegativeInfinity(options.DryLeakDb)
                ? null
                : replay.LeakFrame / (double)replay.SampleRateHz * stretch,
            ClippedSampleCount = clipped,
        };
    }

    /// <summary>The rate the file claims, and by what factor its clock then shows too much time.</summary>
    internal static (int LabelHz, double Stretch) Label(RunOptions options, int sampleRateHz) =>
        options.LabelledSampleRateHz == 0
            ? (sampleRateHz, 1)
            : (options.LabelledSampleRateHz, (double)sampleRateHz / options.LabelledSampleRateHz);

    internal static long Clip(float[] samples)
    {
        var count = 0L;
        for (var i = 0; i < samples.Length; i++)
        {
            if (Math.Abs(samples[i]) <= 1)
                continue;
            samples[i] = Math.Sign(samples[i]);
            count++;
        }
        return count;
    }

    private static Tape.TimeMap Stretched(this Tape.TimeMap map, double factor) =>
        factor == 1 ? map : new Tape.TimeMap(map.SourceSeconds, Array.ConvertAll(map.CaptureSeconds, c => c * factor));
}
