namespace Offtape.Simulator;

/// <summary>A marimba playing a figure of sixteenths with holes in it: struck bars tuned 1 : 4 : 10, each partial dying sooner than the one below.</summary>
internal static class Marimba
{
    // Ratio to the fundamental, level, and time to fall by 60 dB at middle C.
    private static readonly (double Ratio, double Level, double DecaySeconds)[] Modes =
    [
        (1, 1, 1.25),
        (3.96, 0.35, 0.42),
        (9.85, 0.12, 0.14),
    ];

    // Sixteenth of the bar, and which note of the chord (an octave up); the second bar of a pair answers the first.
    private static readonly (int Sixteenth, int Voice)[][] Figures =
    [
        [(0, 1), (3, 2), (4, 3), (6, 4), (7, 2), (10, 3), (11, 1), (14, 4)],
        [(0, 2), (2, 3), (5, 4), (6, 2), (9, 3), (12, 4), (13, 1), (15, 3)],
    ];

    internal static void Play(float[][] channels, int sampleRateHz, Dice dice)
    {
        for (var bar = 0; bar < LanternQuay.BarCount; bar++)
        {
            var chord = LanternQuay.Chords[bar];
            var isLast = bar == LanternQuay.BarCount - 1;
            foreach (var (sixteenth, voice) in Figures[bar % 2])
            {
                if (isLast && sixteenth > 7)
                    continue;
                // A hand's timing: a few milliseconds either way, the off-beats a little late.
                var time =
                    LanternQuay.BarSeconds(bar)
                    + sixteenth * LanternQuay.BeatSeconds / 4
                    + (sixteenth % 2) * 0.012
                    + dice.Uniform(0, 0.006);
                var velocity = (sixteenth % 4 == 0 ? 1 : 0.72) * dice.Uniform(0.8, 1);
                var note = chord[voice] + (voice >= 3 ? 0 : 12);
                Strike(channels, sampleRateHz, dice, LanternQuay.NoteHz(note), time, velocity, (note - 69) / 24.0);
            }
        }
        Room.Add(channels, sampleRateHz, 0.16, 1.3);
    }

    private static void Strike(
        float[][] channels,
        int sampleRateHz,
        Dice dice,
        double frequencyHz,
        double startSeconds,
        double velocity,
        double pan
    )
    {
        var first = (int)Math.Round(startSeconds * sampleRateHz);
        var (left, right) = (Math.Sqrt(0.5 * (1 - pan)), Math.Sqrt(0.5 * (1 + pan)));
        foreach (var (ratio, modeLevel, decay) in Modes)
        {
            var mode = frequencyHz * ratio;
            if (mode > 0.42 * sampleRateHz)
                continue;
            // Lower bars ring longer; a harder blow wakes the upper modes more.
            var decaySeconds = decay * Math.Pow(262 / frequencyHz, 0.6);
            var level = velocity * modeLevel * (ratio == 1 ? 1 : velocity);
            var count = Math.Min((int)(1.3 * decaySeconds * sampleRateHz), channels[0].Length - first);
            var tone = new Oscillator(mode, 0, sampleRateHz);
            var (ringing, starting) = (level, 1.0);
            var fade = Math.Exp(-6.908 / (decaySeconds * sampleRateHz));
            var start = Math.Exp(-1 / (0.0006 * sampleRateHz));
            for (var i = 0; i < count; i++)
            {
                var value = ringing * (1 - starting) * tone.Next();
                (ringing, starting) = (ringing * fade, starting * start);
                channels[0][first + i] += (float)(left * value);
                channels[1][first + i] += (float)(right * value);
            }
        }
        // The mallet's wood.
        var knock = 0.0;
        for (var i = 0; i < 0.012 * sampleRateHz && first + i < channels[0].Length; i++)
        {
            knock += 0.25 * (dice.Uniform(-1, 1) - knock);
            var value = 0.35 * velocity * knock * Math.Exp(-i / (0.002 * sampleRateHz));
            channels[0][first + i] += (float)(left * value);
            channels[1][first + i] += (float)(right * value);
        }
    }
}
