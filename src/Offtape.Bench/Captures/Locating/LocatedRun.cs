using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>One run of a check signal in a capture, as far as its slates (or its long tone) tell.</summary>
internal sealed record LocatedRun
{
    internal required BenchSheet Sheet { get; init; }

    internal required bool IsReversed { get; init; }

    /// <summary>Seconds of the send and of the file at which one thing is heard, with the speed there (send seconds a file second); rising.</summary>
    internal required IReadOnlyList<(double SendSeconds, double FileSeconds, double SpeedRatio)> Anchors { get; init; }

    /// <summary>False where it was found by sound alone.</summary>
    internal bool HasSlates { get; init; } = true;

    /// <summary>The parts that were found each by itself, where there is neither a slate nor the long tone; null otherwise.</summary>
    internal IReadOnlySet<string>? Alone { get; init; }

    /// <summary>Send seconds a file second, positive, over all anchors; by the anchors' own speed where there is one only.</summary>
    internal double SpeedRatio
    {
        get
        {
            var speeds = Anchors.Select(a => a.SpeedRatio).Order().ToArray();
            var own = speeds[speeds.Length / 2];
            var (first, last) = (Anchors[0], Anchors[^1]);
            if (last.SendSeconds - first.SendSeconds < 5)
                return own;
            var mean = Math.Abs((last.SendSeconds - first.SendSeconds) / (last.FileSeconds - first.FileSeconds));
            return Math.Abs(mean / own - 1) > LongStand ? own : mean;
        }
    }

    /// <summary>Between two anchors the tape's mean speed differs by more than this from what the anchors say: it stood, or was cut.</summary>
    private const double LongStand = 0.02;

    /// <summary>The send seconds between two anchors between which the tape did not run through.</summary>
    internal IEnumerable<(double From, double To)> Breaks()
    {
        for (var i = 1; i < Anchors.Count; i++)
        {
            var (a, b) = (Anchors[i - 1], Anchors[i]);
            var mean = Math.Abs((b.SendSeconds - a.SendSeconds) / (b.FileSeconds - a.FileSeconds));
            if (Math.Abs(mean / SpeedRatio - 1) > LongStand)
                yield return (a.SendSeconds, b.SendSeconds);
        }
    }

    /// <summary>The send seconds by which the clock is drawn where nothing finer is known: the anchors, and a second beyond both ends of the send.</summary>
    internal IEnumerable<double> ClockPlaces() =>
        [
            Math.Min(0, Anchors[0].SendSeconds) - 1,
            .. Anchors.Select(a => a.SendSeconds),
            Math.Max(Sheet.LengthSeconds, Anchors[^1].SendSeconds) + 1,
        ];

    /// <summary>Seconds of the send to seconds of the file, from anchor to anchor and at the mean speed beyond them; of a run forwards.</summary>
    internal TimeMap RoughClock()
    {
        double[] send = [.. ClockPlaces()];
        var file = new double[send.Length];
        file[0] = Anchors[0].FileSeconds + (send[0] - Anchors[0].SendSeconds) / SpeedRatio;
        file[^1] = Anchors[^1].FileSeconds + (send[^1] - Anchors[^1].SendSeconds) / SpeedRatio;
        for (var i = 0; i < Anchors.Count; i++)
            file[i + 1] = Anchors[i].FileSeconds;
        return ClockCurve.Through(send, file);
    }
}
