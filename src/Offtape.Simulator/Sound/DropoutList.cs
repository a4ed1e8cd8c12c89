using Offtape.Base;

namespace Offtape.Simulator;

/// <summary>Dropouts: places of the tape where a track is lost for a moment. They are on the tape, so every replay has the same.</summary>
internal static class DropoutList
{
    internal static IReadOnlyList<SimulatedDropout> Draw(
        DropoutModel model,
        ulong seed,
        int track,
        int channel,
        TapePath path,
        TrackDelay delay,
        double replayRatio,
        double sendSeconds
    )
    {
        var dropouts = new List<SimulatedDropout>();
        if (model.PerMinute <= 0)
            return dropouts;
        var dice = new Dice(seed, "dropouts", track);
        var place = 0.0;
        while (true)
        {
            // Waiting times of a Poisson process.
            place += -Math.Log(1 - dice.Uniform()) * 60 / model.PerMinute;
            var length = dice.LogUniform(model.ShortestMilliseconds, model.LongestMilliseconds);
            var depth = dice.Uniform(model.ShallowestDb, model.DeepestDb);
            if (place >= sendSeconds)
                return dropouts;
            dropouts.Add(new SimulatedDropout(channel, place, delay.Arrival(path.CaptureAt(place)), length / replayRatio, depth));
        }
    }

    /// <summary>Turns the block down where dropouts are.</summary>
    internal static void Apply(IReadOnlyList<SimulatedDropout> dropouts, Span<float> block, long firstFrame, double sampleRateHz)
    {
        foreach (var dropout in dropouts)
        {
            var half = dropout.LengthMilliseconds / 1000 * sampleRateHz;
            var middle = dropout.CaptureSeconds * sampleRateHz;
            var from = (int)Math.Clamp(Math.Ceiling(middle - half) - firstFrame, 0, block.Length);
            var to = (int)Math.Clamp(Math.Floor(middle + half) - firstFrame + 1, 0, block.Length);
            for (var i = from; i < to; i++)
            {
                // The loss in dB rises and falls as a raised cosine: half of it at half the full length on either side.
                var r = (firstFrame + i - middle) / half;
                var lossDb = dropout.DepthDb * (0.5 + 0.5 * Math.Cos(Math.PI * r));
                block[i] *= (float)Conversions.DbToAmplitude(-lossDb);
            }
        }
    }
}
