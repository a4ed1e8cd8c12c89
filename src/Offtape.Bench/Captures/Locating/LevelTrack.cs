using Offtape.Base;

namespace Offtape.Bench;

/// <summary>The level of a stretch of sound, every millisecond, as the root mean square under a bell of 8 ms.</summary>
internal static class LevelTrack
{
    internal const double StepSeconds = 0.001;

    private const double BellSeconds = 0.008;

    /// <summary>Half of the bell: this much sound is needed before the first and after the last place.</summary>
    internal const double MarginSeconds = BellSeconds / 2;

    /// <param name="sound">From <see cref="MarginSeconds"/> before the first place.</param>
    /// <param name="sampleRateHz">Its rate; need not be whole.</param>
    /// <param name="levels">One for each place.</param>
    internal static void Measure(ReadOnlySpan<float> sound, double sampleRateHz, Span<double> levels)
    {
        var half = (int)Math.Round(MarginSeconds * sampleRateHz);
        var bell = new double[2 * half + 1];
        var sum = 0.0;
        for (var i = 0; i < bell.Length; i++)
            sum += bell[i] = 0.5 + 0.5 * Math.Cos(Math.PI * (i - half) / (half + 1));
        for (var k = 0; k < levels.Length; k++)
        {
            var middle = (int)Math.Round((MarginSeconds + k * StepSeconds) * sampleRateHz);
            var power = 0.0;
            for (var i = Math.Max(0, half - middle); i < bell.Length && middle - half + i < sound.Length; i++)
            {
                double value = sound[middle - half + i];
                power += bell[i] * value * value;
            }
            levels[k] = Math.Sqrt(power / sum);
        }
    }

    internal static double Rms(ReadOnlySpan<float> sound)
    {
        var sum = 0.0;
        foreach (var value in sound)
            sum += (double)value * value;
        return sound.IsEmpty ? 0 : Math.Sqrt(sum / sound.Length);
    }

    internal static double RmsDb(ReadOnlySpan<float> sound) => Conversions.AmplitudeToDb(Rms(sound));
}
