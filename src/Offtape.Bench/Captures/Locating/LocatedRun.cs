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

    /// <summary>Seconds of the send to seconds of the file, straight between anchors and at the mean speed beyond them.</summary>
    internal TimeMap RoughClock()
    {
        var (sign, speed) = (IsReversed ? -1 : 1, SpeedRatio);
        var (first, last) = (Anchors[0], Anchors[^1]);
        var send = new List<double> { Math.Min(0, first.SendSeconds) - 1 };
        var file = new List<double> { first.FileSeconds + sign * (send[0] - first.SendSeconds) / speed };
        foreach (var anchor in Anchors)
        {
            send.Add(anchor.SendSeconds);
            file.Add(anchor.FileSeconds);
        }
        send.Add(Math.Max(Sheet.LengthSeconds, last.SendSeconds) + 1);
        file.Add(last.FileSeconds + sign * (send[^1] - last.SendSeconds) / speed);
        return new TimeMap([.. send], [.. file]);
    }
}
