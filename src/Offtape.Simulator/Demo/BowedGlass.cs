namespace Offtape.Simulator;

/// <summary>Glass bowls under a bow: slow, inharmonic, beating, with the breath of the bow's hair in it.</summary>
internal static class BowedGlass
{
    // A thin bowl's modes rise roughly as the square of their number (2, 3, 4, 5): ratios to the lowest.
    private static readonly (double Ratio, double Level)[] Modes = [(1, 1), (2.32, 0.28), (4.25, 0.10), (6.63, 0.035)];

    internal static void Play(float[][] channels, int sampleRateHz, Dice dice)
    {
        for (var bar = 0; bar < LanternQuay.BarCount; bar++)
        {
            var chord = LanternQuay.Chords[bar];
            for (var voice = 1; voice < chord.Length; voice++)
            {
                // Voices enter one after the other, like bowls taken up in turn, and overlap the next bar.
                var start = LanternQuay.BarSeconds(bar) + (voice - 1) * LanternQuay.BeatSeconds / 4 + dice.Uniform(0, 0.02);
                var length = LanternQuay.BeatsPerBar * LanternQuay.BeatSeconds * (bar == LanternQuay.BarCount - 1 ? 1.1 : 0.98);
                var pan = (voice - 2.5) / 2.5;
                Bow(channels, sampleRateHz, dice, LanternQuay.NoteHz(chord[voice]), start, length, pan, dice.Uniform(0.8, 1));
            }
        }
        Room.Add(channels, sampleRateHz, 0.35, 2.2);
    }

    private static void Bow(
        float[][] channels,
        int sampleRateHz,
        Dice dice,
        double frequencyHz,
        double startSeconds,
        double lengthSeconds,
        double pan,
        double level
    )
    {
        const double riseSeconds = 0.7;
        const double ringSeconds = 1.4;
        var (left, right) = (Math.Sqrt(0.5 * (1 - 0.7 * pan)), Math.Sqrt(0.5 * (1 + 0.7 * pan)));
        var first = (int)(startSeconds * sampleRateHz);
        var count = Math.Min((int)((lengthSeconds + 2.5 * ringSeconds) * sampleRateHz), channels[0].Length - first);
        foreach (var (ratio, modeLevel) in Modes)
        {
            var mode = frequencyHz * ratio * (1 + dice.Uniform(-0.003, 0.003));
            if (mode > 0.42 * sampleRateHz)
                continue;
            // No bowl is quite round: each mode is a pair, a fraction of a hertz apart.
            var beat = dice.Uniform(0.25, 0.7);
            var tone = new Oscillator(mode, dice.Uniform(0, 6.28), sampleRateHz);
            var beside = new Oscillator(mode + beat, 0, sampleRateHz);
            var trembling = new Oscillator(dice.Uniform(3.2, 5.1), dice.Uniform(0, 6.28), sampleRateHz);
            var fade = Math.Exp(-(2 + ratio) / (ringSeconds * sampleRateHz));
            var envelope = level * modeLevel;
            for (var i = 0; i < count; i++)
            {
                var t = (double)i / sampleRateHz;
                var rise = t < riseSeconds ? 0.5 - 0.5 * Math.Cos(Math.PI * t / riseSeconds) : 1;
                if (t >= lengthSeconds)
                    envelope *= fade;
                var tremble = 1 + 0.07 * trembling.Next();
                var value = envelope * rise * tremble * (tone.Next() + 0.6 * beside.Next());
                channels[0][first + i] += (float)(left * value);
                channels[1][first + i] += (float)(right * value);
            }
        }
        AddBreath(channels, sampleRateHz, dice, frequencyHz, first, count, lengthSeconds, left, right);
    }

    // The bow's hair: noise through a resonance at the bowl's pitch.
    private static void AddBreath(
        float[][] channels,
        int sampleRateHz,
        Dice dice,
        double frequencyHz,
        int first,
        int count,
        double lengthSeconds,
        double left,
        double right
    )
    {
        var radius = Math.Exp(-Math.PI * 25 / sampleRateHz);
        var turn = 2 * radius * Math.Cos(2 * Math.PI * frequencyHz / sampleRateHz);
        var (y1, y2, hold) = (0.0, 0.0, 1.0);
        var fade = Math.Exp(-6.0 / sampleRateHz);
        for (var i = 0; i < count; i++)
        {
            if (i >= lengthSeconds * sampleRateHz)
                hold *= fade;
            var y = (1 - radius) * dice.Uniform(-1, 1) + turn * y1 - radius * radius * y2;
            (y2, y1) = (y1, y);
            var value = 0.9 * hold * y;
            channels[0][first + i] += (float)(left * value);
            channels[1][first + i] += (float)(right * value);
        }
    }
}
