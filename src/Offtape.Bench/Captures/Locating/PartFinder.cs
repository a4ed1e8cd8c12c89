using Offtape.Base;

namespace Offtape.Bench;

/// <summary>
/// Finds single parts of a check signal in a capture without a slate, each by its own sound. Parts that sound alike (sweeps of several levels) are
/// told from each other by their order, where all of them that were asked for are there, and not at all where they are not.
/// </summary>
internal static class PartFinder
{
    // Beyond this a search by sound takes longer than to cut the part out by hand.
    internal const double LongestCaptureSeconds = 900;

    private const double MarginSeconds = 0.3;
    private const int MarginSteps = (int)(MarginSeconds / SoundPicture.StepSeconds + 0.5);
    private const double LeastLikeness = 0.75;
    private const int FineSteps = 4;

    // What rings on, and how far the place may be off.
    private const double EdgeSeconds = 0.1;
    private const double PauseShare = 0.4;
    private static readonly double[] Speeds = [1, 0.99, 1.01, 0.98, 1.02, 0.97, 1.03, 0.96, 1.04];
    private static readonly double[] FineSpeeds = [0, -0.0025, 0.0025, -0.005, 0.005];

    private sealed record Match(BenchPart Part, double FileSeconds, double Speed, double Likeness)
    {
        internal double EndSeconds => FileSeconds + Part.LengthSeconds / Speed;
    }

    /// <param name="audio">The capture.</param>
    /// <param name="sheet">Its sheet.</param>
    /// <param name="words">The parts that are asked for; empty for all but steady tones, which may be anything.</param>
    /// <param name="cancellation">Stops it.</param>
    /// <returns>The run, and in words what was heard and cannot be told; one of them or none.</returns>
    internal static (LocatedRun? Run, string? Doubt) Find(
        ICaptureAudio audio,
        BenchSheet sheet,
        IReadOnlyList<string> words,
        CancellationToken cancellation
    )
    {
        if ((double)audio.FrameCount / audio.SampleRateHz > LongestCaptureSeconds)
            return (null, null);
        var asked = sheet
            .Parts.Where(p => p.Kind != BenchPartKind.Silence && BenchPartNames.IsAsked(p, words))
            .Where(p => words.Count > 0 || p.Kind is not (BenchPartKind.LevelTone or BenchPartKind.SpeedTone or BenchPartKind.Erasure))
            .ToArray();
        var picture = SoundPicture.Of(audio, cancellation);
        var found = new List<Match>();
        string? doubt = null;
        foreach (var alike in asked.GroupBy(Shape))
        {
            var parts = alike.ToArray();
            var matches = Matches(picture, parts, cancellation);
            if (matches.Count == parts.Length)
                found.AddRange(matches);
            else if (matches.Count > 0)
                doubt ??=
                    $"At {Words.Clock(matches[0].FileSeconds)} it sounds like {Words.List([.. parts.Select(p => p.Name)])}, and without a slate nothing "
                    + "tells which: name it with --parts.";
        }
        return found.Count == 0 ? (null, doubt) : (Run(sheet, InOrder(found)), null);
    }

    // What a picture cannot tell apart; the level least of all, as nothing says how loud the capture was taken.
    private static (BenchPartKind, double?, double, int, double?) Shape(BenchPart part) =>
        (part.Kind, part.FrequencyHz, part.LengthSeconds, part.StepLevelsDb.Count, part.FromHz);

    /// <summary>As many places as there are parts at most, in order of time, each given to the part of that number.</summary>
    private static List<Match> Matches(SoundPicture picture, BenchPart[] parts, CancellationToken cancellation)
    {
        var part = parts[0];
        var places = new List<Match>();
        foreach (var speed in Speeds)
        {
            var wanted = SoundPicture.Of(part, MarginSeconds, speed, cancellation);
            // The whole part has to lie within the capture; its margins need not.
            var first = -MarginSteps - 1;
            var likeness = new double[Math.Max(0, picture.StepCount - wanted.StepCount + 2 * MarginSteps + 3)];
            Parallel.For(
                0,
                likeness.Length,
                new ParallelOptions { CancellationToken = cancellation, MaxDegreeOfParallelism = Environment.ProcessorCount },
                i => likeness[i] = wanted.LikenessIn(picture, first + i)
            );
            for (var i = 0; i < likeness.Length; i++)
            {
                if (likeness[i] >= LeastLikeness)
                    places.Add(new Match(part, FileSeconds(first + i), speed, likeness[i]));
            }
        }
        var kept = new List<Match>();
        foreach (var place in places.OrderByDescending(p => p.Likeness))
        {
            if (
                kept.Count < parts.Length
                && StandsAlone(picture, place)
                && kept.TrueForAll(k => place.EndSeconds <= k.FileSeconds || place.FileSeconds >= k.EndSeconds)
            )
                kept.Add(place);
        }
        kept.Sort((a, b) => a.FileSeconds.CompareTo(b.FileSeconds));
        return [.. kept.Select((k, i) => Refined(picture, k, cancellation) with { Part = parts[i] })];
    }

    // Parts have a pause before and behind them: a stretch of noise or music that goes on is none, however like it is.
    private static bool StandsAlone(SoundPicture picture, Match match)
    {
        var inside = picture.MeanLevel(match.FileSeconds, match.EndSeconds);
        var (before, behind) = (
            picture.MeanLevel(match.FileSeconds - MarginSeconds, match.FileSeconds - EdgeSeconds),
            picture.MeanLevel(match.EndSeconds + EdgeSeconds, match.EndSeconds + MarginSeconds)
        );
        // What lies outside the capture is not heard; of one side at least something is.
        return !(double.IsNaN(before) && double.IsNaN(behind)) && !(before > PauseShare * inside) && !(behind > PauseShare * inside);
    }

    private static double FileSeconds(double firstStep) => (firstStep + MarginSteps) * SoundPicture.StepSeconds;

    /// <summary>The same place more finely: at speeds between, and between the steps by the parabola of its likeness.</summary>
    private static Match Refined(SoundPicture picture, Match match, CancellationToken cancellation)
    {
        var best = match;
        foreach (var offset in FineSpeeds)
        {
            var wanted = SoundPicture.Of(match.Part, MarginSeconds, match.Speed + offset, cancellation);
            var step = (int)Math.Round(match.FileSeconds / SoundPicture.StepSeconds) - MarginSteps;
            var likeness = Enumerable.Range(step - FineSteps, 2 * FineSteps + 1).Select(s => wanted.LikenessIn(picture, s)).ToArray();
            var top = Math.Clamp(Array.IndexOf(likeness, likeness.Max()), 1, likeness.Length - 2);
            var (a, b, c) = (likeness[top - 1], likeness[top], likeness[top + 1]);
            var between = a + c - 2 * b < 0 ? Math.Clamp(0.5 * (a - c) / (a + c - 2 * b), -1, 1) : 0;
            if (b > best.Likeness)
                best = match with
                {
                    FileSeconds = FileSeconds(step - FineSteps + top + between),
                    Speed = match.Speed + offset,
                    Likeness = b,
                };
        }
        return best;
    }

    // One clock goes through all of them: what stands out of the sheet's order is left out, the least sure first.
    private static List<Match> InOrder(List<Match> found)
    {
        var kept = new List<Match>();
        foreach (var match in found.OrderByDescending(f => f.Likeness))
        {
            var fits = kept.TrueForAll(k =>
                match.Part.StartSeconds > k.Part.StartSeconds
                    ? match.FileSeconds >= k.EndSeconds - MarginSeconds
                    : match.EndSeconds - MarginSeconds <= k.FileSeconds
            );
            if (fits)
                kept.Add(match);
        }
        kept.Sort((a, b) => a.FileSeconds.CompareTo(b.FileSeconds));
        return kept;
    }

    private static LocatedRun Run(BenchSheet sheet, List<Match> matches) =>
        new()
        {
            Sheet = sheet,
            IsReversed = false,
            HasSlates = false,
            Alone = matches.Select(m => m.Part.Name).ToHashSet(),
            Anchors =
            [
                .. matches.SelectMany(m =>
                    new[]
                    {
                        (m.Part.StartSeconds, m.FileSeconds, m.Speed),
                        (m.Part.StartSeconds + m.Part.LengthSeconds, m.EndSeconds, m.Speed),
                    }
                ),
            ],
        };
}
