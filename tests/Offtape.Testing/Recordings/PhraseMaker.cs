namespace Offtape.Testing;

/// <summary>Plays a kit: real hits and notes set one after another or over each other, as a hand would, decided by a seed.</summary>
internal static class PhraseMaker
{
    private const int FewestHits = 3;
    private const double Peak = 0.5;
    private const int Rate = Recordings.SampleRateHz;

    /// <summary>How a kind of sound is played.</summary>
    /// <param name="ShortestStepSeconds">The least time from one hit to the next.</param>
    /// <param name="LongestStepSeconds">The most.</param>
    /// <param name="OneAtATime">Each note ends when the next begins, as on a wind instrument or in speech.</param>
    private sealed record Playing(double ShortestStepSeconds, double LongestStepSeconds, bool OneAtATime);

    public static float[] Play(IReadOnlyList<Recording> recordings, RecordingKind kind, ulong seed, double seconds)
    {
        var kits = recordings.Where(r => r.Kind == kind).GroupBy(r => r.Kit).Where(k => k.Count() >= FewestHits).ToArray();
        var random = new SplitMix64(seed);
        var hits = kits[random.Below(kits.Length)].ToArray();
        var phrase = new float[(int)(seconds * Rate)];
        var playing = PlayingOf(kind);
        // The pulse of this phrase; each step is a few pulses, a little early or late.
        var pulse = playing.ShortestStepSeconds * (1 + 0.6 * random.Unit());
        var at = 0.02 + 0.1 * random.Unit();
        var last = -1;
        while (at < seconds - 0.05)
        {
            var pick = random.Below(hits.Length);
            if (pick == last)
                pick = (pick + 1) % hits.Length;
            last = pick;
            var pulses = 1 + random.Below(Math.Max(1, (int)(playing.LongestStepSeconds / pulse)));
            var next = at + pulses * pulse + (random.Unit() - 0.5) * 0.016;
            var hit = Recordings.MonoOf(Recordings.Shared(hits[pick].Name));
            if (playing.OneAtATime)
            {
                next = Math.Min(next, at + (double)hit.Length / Rate + 0.05);
                hit = hit[..Math.Min(hit.Length, (int)((next - at) * Rate))];
                Fades.Out(hit, Rate / 50);
            }
            Add(phrase, hit, (int)(at * Rate), (0.35 + 0.65 * random.Unit()) / PeakOf(hit));
            at = next;
        }
        Fades.Out(phrase, Rate / 50);
        var gain = (float)(Peak / PeakOf(phrase));
        for (var i = 0; i < phrase.Length; i++)
            phrase[i] *= gain;
        return phrase;
    }

    private static Playing PlayingOf(RecordingKind kind) =>
        kind switch
        {
            RecordingKind.Drum => new(0.11, 0.5, false),
            RecordingKind.Plucked => new(0.2, 0.8, false),
            RecordingKind.Sustained => new(0.5, 1.8, true),
            RecordingKind.Bass => new(0.3, 1.0, true),
            _ => new(0.5, 2.0, true),
        };

    private static void Add(float[] phrase, float[] hit, int startFrame, double gain)
    {
        var count = Math.Min(hit.Length, phrase.Length - startFrame);
        for (var i = 0; i < count; i++)
            phrase[startFrame + i] += (float)(gain * hit[i]);
    }

    private static double PeakOf(float[] audio)
    {
        var peak = 1e-9f;
        foreach (var value in audio)
            peak = Math.Max(peak, Math.Abs(value));
        return peak;
    }
}
