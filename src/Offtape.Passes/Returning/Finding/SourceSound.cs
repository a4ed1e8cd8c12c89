using Offtape.Passes.Listening;

namespace Offtape.Passes.Finding;

/// <summary>What is known of a source before it is looked for.</summary>
internal sealed class SourceSound
{
    private const double ShortestPatchSeconds = 0.16;
    private const double LongestPatchSeconds = PictureSearch.LongestPatchFrames * SoundPicture.StepSeconds;

    internal required int Index { get; init; }

    internal required Recording Recording { get; init; }

    /// <summary>Level of each channel, forwards.</summary>
    internal required LevelCurve[] Levels { get; init; }

    /// <summary>The channel with the most sound: what is looked for first.</summary>
    internal required int LoudestChannel { get; init; }

    internal LevelCurve Loudness => Levels[LoudestChannel];

    internal double LengthSeconds => Recording.LengthSeconds;

    internal bool IsSilent => Loudness.PeakDb < -120;

    internal static SourceSound Of(int index, Recording recording, CancellationToken cancellation)
    {
        using var ear = new Ear(recording);
        var levels = new LevelCurve[ear.ChannelCount];
        for (var c = 0; c < levels.Length; c++)
            levels[c] = LevelCurve.Of(ear.Channel(c), cancellation);
        var loudest = 0;
        for (var c = 1; c < levels.Length; c++)
            loudest = levels[c].PeakDb > levels[loudest].PeakDb + 0.1 ? c : loudest;
        return new SourceSound
        {
            Index = index,
            Recording = recording,
            Levels = levels,
            LoudestChannel = loudest,
        };
    }

    /// <summary>Start and length of the stretches by which this source is best recognised, best first.</summary>
    internal List<(double Start, double Length)> Patches(int most)
    {
        var step = LevelCurve.StepSeconds;
        var level = Loudness;
        var first = 0;
        while (first < level.Count && level[first] < level.PeakDb - 45)
            first++;
        var last = level.Count - 1;
        while (last > first && level[last] < level.PeakDb - 45)
            last--;
        var patch = Math.Clamp((last - first + 1) * step + 0.04, ShortestPatchSeconds, LongestPatchSeconds);
        var frames = Math.Max(1, (int)(patch / step));
        var scores = new List<(double Score, double Start)>();
        for (var from = first; from == first || from + frames <= last + 1; from += Math.Max(1, frames / 8))
        {
            // Movement says more than loudness: sum of steps up and down within 40 dB of the peak.
            double movement = 0,
                sound = 0;
            for (var i = from; i < Math.Min(from + frames, level.Count - 1); i++)
            {
                var (a, b) = (Math.Max(level[i], level.PeakDb - 40), Math.Max(level[i + 1], level.PeakDb - 40));
                movement += Math.Abs(a - b);
                sound += a - (level.PeakDb - 40);
            }
            scores.Add((movement + 0.1 * sound, from * step));
        }
        var chosen = new List<(double Start, double Length)>();
        foreach (var (_, start) in scores.OrderByDescending(s => s.Score))
        {
            if (chosen.Count < most && chosen.TrueForAll(c => Math.Abs(c.Start - start) >= patch * 0.9))
                chosen.Add((Math.Max(0, start - 0.02), patch));
        }
        return chosen;
    }
}
