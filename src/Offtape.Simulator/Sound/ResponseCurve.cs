namespace Offtape.Simulator;

/// <summary>The magnitude response of a machine at its own speed, 1 in the middle of the band.</summary>
internal static class ResponseCurve
{
    internal static double MagnitudeAt(SoundModel sound, double frequencyHz)
    {
        // The equalisation holds the response flat nearly to the limit; beyond it the losses of gap, spacing and thickness win quickly.
        var trebleDb = double.IsInfinity(sound.TrebleLimitHz)
            ? 0
            : -Math.Min(100, HalfPowerDb * Math.Pow(frequencyHz / sound.TrebleLimitHz, 4));
        var bass = sound.BassLimitHz == 0 ? 1 : 1 / Math.Sqrt(1 + Math.Pow(sound.BassLimitHz / Math.Max(frequencyHz, 1e-3), 4));
        return bass * Math.Pow(10, (trebleDb + BumpDb(sound, frequencyHz) + SwitchDb(sound, frequencyHz)) / 20);
    }

    /// <summary>10·log10 2: what "3 dB down" means.</summary>
    internal static readonly double HalfPowerDb = 10 * Math.Log10(2);

    // A tape of one characteristic on a machine set to another; the zero of the difference is where the switch does nothing, in the middle.
    private static double SwitchDb(SoundModel sound, double frequencyHz) =>
        sound.RecordedWith is null || sound.ReplayedWith is null
            ? 0
            : sound.RecordedWith.HeardOn(sound.ReplayedWith, Math.Max(frequencyHz, LowestSwitchHz));

    // Below this the bass constants' lift goes on rising for ever; no machine's amplifier does.
    private const double LowestSwitchHz = 10;

    // The wave on tape is as long as the head's face: a rise, and a shallower dip an octave above it.
    private static double BumpDb(SoundModel sound, double frequencyHz)
    {
        if (sound.HeadBumpDb == 0 || frequencyHz <= 0)
            return 0;
        var octaves = Math.Log2(frequencyHz / sound.HeadBumpHz);
        return sound.HeadBumpDb * (Bell(octaves / 0.5) - 0.35 * Bell((octaves - 1.05) / 0.4));
    }

    private static double Bell(double x) => Math.Exp(-x * x);
}
