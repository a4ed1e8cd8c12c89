using Offtape.Passes.Following;
using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>The frames of a section for one length of window, and the map on them.</summary>
internal sealed class MapGrid
{
    // What is left against a guide moves slowly.
    private static readonly WanderModel GuidedWander = new(1e-9, 2e-7, 0.1);

    /// <summary>Finer or rougher frames over the same map, or the first ones over a coarse path (with what was learned before, if given).</summary>
    internal MapGrid(MapSection section, int windowFrames, MapGrid? before, PathCurve? coarse)
    {
        Sweep = new FrameSweep(windowFrames, MapSection.RateHz);
        FrameCount = section.Source.Length / Sweep.HopFrames + 1;
        Solver = new LagSolver(
            FrameCount,
            StepSeconds,
            coarse is null ? before?.Solver : null,
            section.Guide is null ? null : GuidedWander
        );
        Noise = new NoiseModel(section.HissDensity, Sweep, before?.Noise);
        (Map, Coarse, Straight) = (new double[FrameCount], new double[FrameCount], new double[FrameCount]);
        (Present, Seconds, IsHeard) = (new double[FrameCount], new double[FrameCount], new bool[FrameCount]);
        (TrebleInformation, RelativeNoise, IsLow) = (new double[FrameCount], new double[FrameCount], new bool[FrameCount]);
        var (finer, rougher) = coarse is null ? (before!.MapSpline(), new EvenSpline(before.Coarse)) : (null, null);
        for (var k = 0; k < FrameCount; k++)
        {
            var seconds = Seconds[k] = section.SourceStart + k * StepSeconds;
            IsHeard[k] = seconds >= section.FirstHeard && seconds <= section.LastHeard && !section.IsBelowFloor(seconds);
            var isRamp =
                section.Guide is null
                && (
                    section.StartsFromStand && seconds < section.FirstHeard + RampSeconds
                    || section.EndsInStand && seconds > section.LastHeard - RampSeconds
                );
            RelativeNoise[k] = isRamp ? RampNoise : 1;
            var position = before is null ? 0 : k * StepSeconds / before.StepSeconds;
            Map[k] = finer?.At(position) ?? coarse!.CaptureAt(seconds);
            Coarse[k] = rougher?.At(position) ?? Map[k];
            if (before is not null)
                TrebleInformation[k] = before.TrebleInformation[Math.Clamp((int)Math.Round(position), 0, before.FrameCount - 1)];
        }
        for (var k = 0; k < FrameCount; k++)
            Straight[k] = section.Guide?.CaptureAt(Seconds[k]) ?? Map[0] + (Map[^1] - Map[0]) * k / (FrameCount - 1);
    }

    internal FrameSweep Sweep { get; }

    internal LagSolver Solver { get; }

    internal NoiseModel Noise { get; }

    internal int FrameCount { get; }

    internal double WindowSeconds => Sweep.WindowFrames / MapSection.RateHz;

    /// <summary>Of the flutter that long windows do not show, s²; the short ones show nearly all of it.</summary>
    internal double BlurVariance => Sweep.WindowFrames < MapSection.LongWindowFrames ? 0 : Solver.Wander.BlurVariance(WindowSeconds);

    internal double StepSeconds => Sweep.HopFrames / MapSection.RateHz;

    /// <summary>Tracker second of each frame's middle.</summary>
    internal double[] Seconds { get; }

    /// <summary>Where each is heard, capture seconds.</summary>
    internal double[] Map { get; }

    /// <summary>Where the coarse path has it.</summary>
    internal double[] Coarse { get; }

    /// <summary>A straight line through the ends: lags are small numbers against it.</summary>
    internal double[] Straight { get; }

    /// <summary>The map's departure from the straight line when the pass began.</summary>
    internal double[] Present { get; }

    internal bool[] IsHeard { get; }

    /// <summary>Frames that low notes alone hold.</summary>
    internal bool[] IsLow { get; }

    /// <summary>Share of the frames that are held by low notes alone.</summary>
    internal double LowShare { get; set; }

    /// <summary>What the source did not explain in the last pass.</summary>
    internal Remainder Remainder { get; set; } = Remainder.All;

    /// <summary>How much more the speed may change at each frame than elsewhere: a tape that stops or starts.</summary>
    internal double[] RelativeNoise { get; }

    /// <summary>The tape stops or starts somewhere among these frames.</summary>
    internal bool IsRampBetween(int firstFrame, int lastFrame)
    {
        for (var k = Math.Max(0, firstFrame); k <= Math.Min(FrameCount - 1, lastFrame); k++)
        {
            if (RelativeNoise[k] > 1)
                return true;
        }
        return false;
    }

    // From standing to full speed in a fifth of a second, against a wander of a few parts in ten thousand.
    private const double RampSeconds = 0.2;
    private const double RampNoise = 1e5;

    /// <summary>What each frame says of the map by its treble alone, 1/s².</summary>
    internal double[] TrebleInformation { get; }

    // Low notes whose phase is to be learned must be held by something else, to this.
    private const double TrustedSeconds = 20e-6;
    private const double FewestTrusted = 6;

    /// <summary>How far each sample's time is known by treble; null where too little of the section is.</summary>
    internal Func<int, double>? TrebleTrust()
    {
        const double known = 1 / (TrustedSeconds * TrustedSeconds);
        var trust = Array.ConvertAll(TrebleInformation, i => i / (i + known));
        // A window for the response is as long as several frames.
        return trust.Sum() < FewestTrusted * MapSection.LongWindowFrames / Sweep.WindowFrames
            ? null
            : sample => trust[Math.Clamp((sample + Sweep.HopFrames / 2) / Sweep.HopFrames, 0, trust.Length - 1)];
    }

    internal EvenSpline MapSpline() => new(Map);

    /// <summary>The first and the last moment at which a frame says something; null where none does.</summary>
    internal double? FirstKnownSeconds() => KnownAt(Enumerable.Range(0, FrameCount));

    internal double? LastKnownSeconds() => KnownAt(Enumerable.Range(0, FrameCount).Reverse());

    private double? KnownAt(IEnumerable<int> frames)
    {
        foreach (var k in frames)
        {
            if (Solver.Information[k] > 0)
                return Seconds[k];
        }
        return null;
    }

    /// <summary>Of the frames that say something; infinite where none does.</summary>
    internal double SigmaSecondsAt(double quantile)
    {
        var known = new List<double>();
        for (var k = 0; k < FrameCount; k++)
        {
            if (Solver.Information[k] > 0)
                known.Add(Solver.Sigma[k]);
        }
        known.Sort();
        return known.Count == 0 ? double.PositiveInfinity : known[(int)(quantile * (known.Count - 1))];
    }
}
