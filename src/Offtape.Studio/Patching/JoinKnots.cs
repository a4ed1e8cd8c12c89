namespace Offtape.Studio;

/// <summary>Cuts wanted channels into knots: channels that share a socket hang together; two neighbouring channels of one direction may share pieces.</summary>
internal sealed class JoinKnots(IReadOnlyList<PartType> parts, bool areAllWays)
{
    /// <summary>
    /// The most pieces a way may have when all ways are asked for: 3 for one channel, or for two that share pieces; 6 for the four of a DIN socket.
    /// </summary>
    public static int MostPieces(int channels) => channels < 3 ? JoinSearch.MostInChain : channels + 2;

    // One piece that all share, and two more for each channel.
    private static int MostForShortest(int channels) => channels == 1 ? JoinSearch.MostInChain : 1 + 2 * channels;

    private readonly PartDistances _distances = new(parts);
    private readonly Dictionary<string, (JoinSearch Search, IReadOnlyList<JoinOption> Options)> _known = [];

    /// <summary>Knots in the order of the channels.</summary>
    /// <param name="lanes">Wanted channels: the socket and lane of either side.</param>
    /// <param name="areBothEarthed">Both devices have a safety earth.</param>
    public IReadOnlyList<JoinKnot> Of(IReadOnlyList<WantedLane> lanes, bool areBothEarthed)
    {
        var groups = Groups(lanes);
        var knots = new List<JoinKnot>();
        for (var g = 0; g < groups.Count; g++)
        {
            var (alone, options) = Solve(groups[g], areBothEarthed);
            var (both, bothOptions) =
                g + 1 < groups.Count && ArePair(groups[g], groups[g + 1])
                    ? Shared(groups[g], groups[g + 1], options, areBothEarthed)
                    : (null, []);
            knots.Add(new JoinKnot(alone, options, both, bothOptions));
        }
        return knots;
    }

    /// <summary>Groups of channels that share sockets.</summary>
    public static IReadOnlyList<IReadOnlyList<WantedLane>> Groups(IReadOnlyList<WantedLane> lanes)
    {
        var groups = new List<List<WantedLane>>();
        foreach (var lane in lanes)
        {
            var sharing = groups.Where(g => g.Any(l => ReferenceEquals(l.A, lane.A) || ReferenceEquals(l.B, lane.B))).ToArray();
            if (sharing.Length == 0)
            {
                groups.Add([lane]);
                continue;
            }
            sharing[0].Add(lane);
            foreach (var other in sharing[1..])
            {
                sharing[0].AddRange(other);
                groups.Remove(other);
            }
        }
        return groups;
    }

    private static bool ArePair(IReadOnlyList<WantedLane> a, IReadOnlyList<WantedLane> b) =>
        a.Count == 1 && b.Count == 1 && a[0].LaneA.Flow == b[0].LaneA.Flow && a[0].LaneB.Channel % 2 == 1;

    // Where all ways are asked for, all that share; else only those that need fewer pieces than the two apart.
    private (JoinSearch Search, IReadOnlyList<JoinOption> Options) Shared(
        IReadOnlyList<WantedLane> first,
        IReadOnlyList<WantedLane> second,
        IReadOnlyList<JoinOption> firstAlone,
        bool areBothEarthed
    )
    {
        var secondAlone = areAllWays ? [] : Solve(second, areBothEarthed).Options;
        var apart =
            firstAlone.Count > 0 && secondAlone.Count > 0
                ? firstAlone.Min(o => o.Parts.Length) + secondAlone.Min(o => o.Parts.Length) - 1
                : MostPieces(2);
        return Solve([.. first, .. second], areBothEarthed, sharedMost: apart);
    }

    private (JoinSearch Search, IReadOnlyList<JoinOption> Options) Solve(
        IReadOnlyList<WantedLane> lanes,
        bool areBothEarthed,
        int sharedMost = 0
    )
    {
        var sideA = lanes.Select(l => l.A).Distinct(ReferenceEqualityComparer.Instance).Cast<Socket>().ToArray();
        var sideB = lanes.Select(l => l.B).Distinct(ReferenceEqualityComparer.Instance).Cast<Socket>().ToArray();
        var task = new JoinTask(
            sideA,
            sideB,
            [.. lanes.Select(l => new JoinLane(Place(sideA, l.A), l.LaneA, Place(sideB, l.B), l.LaneB))],
            areBothEarthed
        );
        var signature = $"{sharedMost} {task.Signature()}";
        if (!_known.TryGetValue(signature, out var known))
        {
            var search = new JoinSearch(task, parts, _distances, mustShare: sharedMost > 0);
            var options =
                areAllWays ? search.All(MostPieces(lanes.Count))
                : sharedMost > 0 ? search.Shortest(sharedMost)
                : search.Shortest(MostForShortest(lanes.Count));
            known = _known[signature] = (search, options);
        }
        // The names of these sockets, not of those it was first met with.
        return (known.Search.For(task), known.Options);
    }

    private static int Place(Socket[] sockets, Socket socket) => Array.FindIndex(sockets, s => ReferenceEquals(s, socket));
}

/// <summary>A channel that is wanted from a socket of one device to a socket of another; which way, the lanes say.</summary>
internal sealed record WantedLane(Socket A, SocketLane LaneA, Socket B, SocketLane LaneB);
