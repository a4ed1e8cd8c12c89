using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>Draws the clock of a run through its slates and through every part that can be timed by itself.</summary>
internal static class ClockRefiner
{
    // What neighbours say together, one that says otherwise by more is not believed. Wobble between neighbours is under 10 ms.
    private const double StraySeconds = 0.015;
    private const int Neighbours = 2;
    private const double LeastSpacingSeconds = 0.2;
    private const double LongToneSeconds = 8;

    /// <param name="run">The run.</param>
    /// <param name="rough">Its clock by slates alone, in seconds of these channels; forwards.</param>
    /// <param name="channels">The capture.</param>
    /// <param name="sampleRateHz">Its rate.</param>
    /// <param name="cancellation">Stops it.</param>
    internal static TimeMap Refine(LocatedRun run, TimeMap rough, float[][] channels, int sampleRateHz, CancellationToken cancellation)
    {
        var parts = run.Sheet.Parts.Where(p => p.Kind != BenchPartKind.Silence).ToArray();
        var found = new (double Send, double Capture)[parts.Length][];
        Parallel.For(
            0,
            parts.Length,
            new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
            i =>
                found[i] = [
                    .. EdgeFinder.Find(
                        PartCheck.BestChannel(channels, sampleRateHz, parts[i], rough),
                        sampleRateHz,
                        parts[i],
                        run.Sheet,
                        rough
                    ),
                ]
        );
        var edges = found
            .SelectMany(f => f)
            .OrderBy(e => e.Send)
            .Select(e => (e.Send, Late: e.Capture - rough.CaptureAt(e.Send)))
            .ToArray();
        var believed = edges.Where((e, i) => IsBelieved(edges, i)).ToArray();

        // Within a long tone its own phase says how the tape wandered from edge to edge. A slate is off by nothing, by its own measure: it is
        // left in where nothing else says otherwise close by.
        var byEdges = believed.Select(e => (e.Send, Capture: rough.CaptureAt(e.Send) + e.Late)).ToArray();
        var knots = byEdges
            .Concat(
                parts
                    .Where(p => p.FrequencyHz is not null && p.Kind != BenchPartKind.Staircase && p.LengthSeconds >= LongToneSeconds)
                    .SelectMany(p =>
                        ToneFollower.Follow(PartCheck.BestChannel(channels, sampleRateHz, p, rough), sampleRateHz, p, rough, byEdges)
                    )
            )
            .Concat(run.ClockPlaces().Select(s => (Send: s, Capture: rough.CaptureAt(s))))
            .OrderBy(k => k.Send)
            .ToArray();
        var send = new List<double>();
        var capture = new List<double>();
        foreach (var knot in knots)
        {
            if (send.Count > 0 && (knot.Send - send[^1] < LeastSpacingSeconds || knot.Capture <= capture[^1]))
                continue;
            send.Add(knot.Send);
            capture.Add(knot.Capture);
        }
        // Beyond the last thing timed the clock goes on at the run's mean speed from where that thing was, not where the slates alone put it.
        if (believed.Length > 0)
        {
            Extend(send, capture, 0, believed[0].Send, believed[0].Late, run.Anchors[0].SendSeconds > believed[0].Send);
            Extend(send, capture, send.Count - 1, believed[^1].Send, believed[^1].Late, run.Anchors[^1].SendSeconds < believed[^1].Send);
        }
        return send.Count >= 2 ? ClockCurve.Through(send, capture) : rough;
    }

    private static void Extend(List<double> send, List<double> capture, int index, double edgeSend, double late, bool isBeyondSlates)
    {
        if (isBeyondSlates && Math.Abs(send[index] - edgeSend) >= LeastSpacingSeconds)
            capture[index] += late;
    }

    private static bool IsBelieved((double Send, double Late)[] edges, int index)
    {
        var from = Math.Max(0, index - Neighbours);
        var near = edges[from..Math.Min(edges.Length, index + Neighbours + 1)].Select(e => e.Late).Order().ToArray();
        return Math.Abs(edges[index].Late - near[near.Length / 2]) < StraySeconds;
    }
}
