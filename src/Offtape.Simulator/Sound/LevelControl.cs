using Offtape.Base;

namespace Offtape.Simulator;

/// <summary>Automatic level control: one gain for all channels, from the loudest of them.</summary>
internal static class LevelControl
{
    /// <param name="model">The behaviour.</param>
    /// <param name="channels">Changed in place; all of one length.</param>
    /// <param name="operatingLevelLinear">Peak of operating level in these samples.</param>
    /// <param name="sampleRateHz">Their rate.</param>
    internal static void Apply(LevelControlModel model, float[][] channels, double operatingLevelLinear, int sampleRateHz)
    {
        var target = operatingLevelLinear * Conversions.DbToAmplitude(model.TargetDb);
        var largestGain = Conversions.DbToAmplitude(model.LargestGainDb);
        var attack = 1 - Math.Exp(-1 / (model.AttackSeconds * sampleRateHz));
        var release = 1 - Math.Exp(-1 / (model.ReleaseSeconds * sampleRateHz));
        var level = 0.0;
        for (var i = 0; i < channels[0].Length; i++)
        {
            var peak = 0f;
            foreach (var channel in channels)
                peak = Math.Max(peak, Math.Abs(channel[i]));
            level += (peak > level ? attack : release) * (peak - level);
            var gain = (float)Math.Min(largestGain, target / Math.Max(level, 1e-9));
            foreach (var channel in channels)
                channel[i] *= gain;
        }
    }
}
