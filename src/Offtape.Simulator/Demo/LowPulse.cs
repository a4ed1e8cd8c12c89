namespace Offtape.Simulator;

/// <summary>A low, soft pulse on the roots: mono, a sine with a little of its octave and fifth above, damped like a finger on a string.</summary>
internal static class LowPulse
{
    // Place in the bar in beats, length in beats, and level.
    private static readonly (double Beat, double Length, double Level)[] Pattern =
    [
        (0, 1.4, 1),
        (1.5, 0.45, 0.7),
        (2, 1.2, 0.9),
        (3.5, 0.45, 0.75),
    ];

    internal static void Play(float[][] channels, int sampleRateHz)
    {
        for (var bar = 0; bar < LanternQuay.BarCount; bar++)
        {
            var root = LanternQuay.NoteHz(LanternQuay.Chords[bar][0]);
            if (bar == LanternQuay.BarCount - 1)
            {
                Note(channels[0], sampleRateHz, root, LanternQuay.BarSeconds(bar), 3.5 * LanternQuay.BeatSeconds, 1);
                break;
            }
            foreach (var (beat, length, level) in Pattern)
                Note(
                    channels[0],
                    sampleRateHz,
                    root,
                    LanternQuay.BarSeconds(bar) + beat * LanternQuay.BeatSeconds,
                    length * LanternQuay.BeatSeconds,
                    level
                );
        }
    }

    private static void Note(float[] channel, int sampleRateHz, double frequencyHz, double startSeconds, double lengthSeconds, double level)
    {
        var first = (int)Math.Round(startSeconds * sampleRateHz);
        var count = Math.Min((int)((lengthSeconds + 0.3) * sampleRateHz), channel.Length - first);
        for (var i = 0; i < count; i++)
        {
            var t = (double)i / sampleRateHz;
            var rise = 1 - Math.Exp(-t / 0.006);
            var damp = t < lengthSeconds ? 1 : Math.Exp(-(t - lengthSeconds) / 0.04);
            var phase = 2 * Math.PI * frequencyHz * t;
            var bright = Math.Exp(-t / 0.25);
            var tone = Math.Sin(phase) + (0.25 + 0.25 * bright) * Math.Sin(2 * phase) + 0.18 * bright * Math.Sin(3 * phase);
            channel[first + i] += (float)(level * rise * damp * Math.Exp(-t / 1.1) * tone);
        }
    }
}
