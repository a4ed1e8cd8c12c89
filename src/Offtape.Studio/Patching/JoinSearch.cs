namespace Offtape.Studio;

/// <summary>
/// Finds every legal way to do a task with at most so many pieces. It always deals with the first open end (plug it in, put a part to it,
/// join it with another, leave it), so that each wiring is met in one order only; and it remembers what can be done from a state, because
/// many beginnings lead to the same one.
/// </summary>
internal sealed class JoinSearch
{
    /// <summary>A channel goes through at most this many pieces before it arrives, or meets a piece that another channel brought.</summary>
    public const int MostInChain = 3;

    private const int MostLeast = 6;

    private readonly IReadOnlyList<PartType> _parts;
    private readonly JoinRules _rules;
    private readonly PartDistances _distances;
    private readonly bool _mustShare;
    private readonly Dictionary<(string Key, int Pieces), IReadOnlyList<JoinOption>> _known = [];

    /// <param name="task">What is to be joined.</param>
    /// <param name="parts">What there is to join it with, in any number.</param>
    /// <param name="distances">Of the same parts.</param>
    /// <param name="mustShare">Only ways in which the channels share a piece.</param>
    public JoinSearch(JoinTask task, IReadOnlyList<PartType> parts, PartDistances distances, bool mustShare = false)
    {
        _mustShare = mustShare;
        Task = task.FromTheFewerSockets();
        (_rules, _parts, _distances) = (new JoinRules(Task), parts, distances);
    }

    private JoinSearch(JoinSearch other, JoinTask task)
    {
        (_rules, _parts, _distances, _mustShare) = (other._rules, other._parts, other._distances, other._mustShare);
        Task = task.FromTheFewerSockets();
    }

    /// <summary>The task as it is searched: from the side with fewer sockets.</summary>
    public JoinTask Task { get; }

    /// <summary>The same search for sockets of other names.</summary>
    public JoinSearch For(JoinTask task) => new(this, task);

    /// <summary>The ways that need the fewest pieces; none where even the most allowed are too few.</summary>
    public IReadOnlyList<JoinOption> Shortest(int mostPieces)
    {
        var start = JoinState.Start(_rules, _mustShare);
        for (var pieces = 1; pieces <= mostPieces; pieces++)
        {
            var options = From(start, pieces);
            if (options.Count > 0)
                return [.. options.Where(o => o.Parts.Length == options.Min(x => x.Parts.Length))];
        }
        return [];
    }

    /// <summary>Every way with at most so many pieces that leaves out no piece it could do without.</summary>
    public IReadOnlyList<JoinOption> All(int mostPieces) => From(JoinState.Start(_rules, _mustShare), mostPieces);

    private IReadOnlyList<JoinOption> From(JoinState state, int pieces)
    {
        if (state.IsComplete)
            return IsShared(state, pieces) && Judged(state) is { } done ? [done] : [];
        if (!CanStillBeDone(state, pieces) || !IsShared(state, pieces))
            return [];
        var key = (state.Key(), pieces);
        if (_known.TryGetValue(key, out var known))
            return known;
        var found = new OptionSet();
        if (JoinSplit.Of(state, Task) is { Count: > 2 } branches)
            Separately(state, branches, pieces, found);
        else if (state.Ends.Length > 0)
            Expand(state, pieces, found);
        return _known[key] = found.Pruned();
    }

    // A chain between two ends is built from one of them only: from the one that carries a channel. Spare ends wait to be met, or hang free.
    private void Expand(JoinState state, int pieces, OptionSet found)
    {
        var at = Array.FindIndex(state.Ends, e => state.LanesOn(e.Nets) != 0);
        if (at < 0)
        {
            if (state.Ends.All(e => e.MayHang))
                Take(MoveKind.Leave, -1, 0, state.LeaveAll(), pieces);
            return;
        }
        var first = state.Ends[at];
        if (!first.IsOnDevice)
        {
            for (var sink = 0; sink < state.Sinks.Length; sink++)
            {
                var socket = Task.SideB[sink];
                if (state.Sinks[sink] is not null && first.Mates(socket.Shape, socket.Gender))
                    Take(MoveKind.PlugIntoSink, -1, sink, state.PlugIntoSink(at, sink), pieces);
            }
        }
        for (var other = 0; other < state.Ends.Length; other++)
        {
            // Two machines are not plugged into each other without a cable.
            var second = state.Ends[other];
            if (other != at && !(first.IsOnDevice && second.IsOnDevice) && first.Mates(second.Shape, second.Gender))
                Take(MoveKind.PlugTogether, -1, other, state.PlugTogether(at, other), pieces);
        }
        // An end that may hang and carries a channel that goes another way: a second half that is not needed.
        if (first.MayHang)
            Take(MoveKind.Hang, -1, 0, state.Hang(at), pieces);
        if (pieces == 0 || first.Depth == MostInChain)
            return;
        // The last piece has to be the one that is shared, where none is yet.
        var onlyShared = pieces == 1 && state.MustShare && !state.IsLinked && state.Ends.All(e => state.LanesOn(e.Nets) != 0);
        for (var p = 0; p < _parts.Count; p++)
        {
            if (onlyShared && _parts[p].Ends.Count < 3)
                continue;
            for (var end = 0; end < _parts[p].Ends.Count; end++)
            {
                if (
                    first.Mates(_parts[p].Ends[end].Shape, _parts[p].Ends[end].Gender)
                    && LeadsOn(state, at, _parts[p], end, Math.Min(pieces, MostInChain - first.Depth) - 1)
                )
                    Take(MoveKind.Add, p, end, state.Add(at, _parts[p], end), pieces - 1);
            }
        }

        void Take(MoveKind kind, int part, int index, JoinState? next, int left)
        {
            if (next is null)
                return;
            foreach (var rest in From(next, left))
                found.Add(
                    rest with
                    {
                        Moves = new Move(kind, at, part, index, rest.Moves),
                        Parts = kind == MoveKind.Add ? [.. rest.Parts.Append(part).Order()] : rest.Parts,
                    }
                );
        }
    }

    // Three or more independent channels: each alone, or two of one direction by pieces that carry two. Pieces that carry more are met
    // where they belong, at a socket that carries more.
    private void Separately(JoinState state, IReadOnlyList<JoinBranch> branches, int pieces, OptionSet found)
    {
        var least = branches.Select(b => LeastPieces(b.Of(state, mustShare: false))).ToArray();
        if (least.Sum() > pieces)
            return;
        var spare = pieces - least.Sum();
        Combine(0, new JoinOption([], null, new LaneFacts?[Task.Lanes.Count], 0, 0), []);

        void Combine(uint taken, JoinOption soFar, IReadOnlyList<(IReadOnlyList<int> Ends, Move? Moves)> moves)
        {
            var next = Enumerable.Range(0, branches.Count).FirstOrDefault(b => (taken >> b & 1) == 0, -1);
            if (next < 0)
            {
                found.Add(soFar with { Moves = new Move(MoveKind.Split, 0, -1, 0, null) { Branches = moves } });
                return;
            }
            var rest = Enumerable.Range(0, branches.Count).Where(b => b != next && (taken >> b & 1) == 0).ToArray();
            With([next]);
            foreach (var other in rest)
                if (branches[next].MayShareWith(branches[other]))
                    With([next, other]);

            void With(int[] chosen)
            {
                var own = JoinBranch.Together(chosen.Select(c => branches[c]));
                var budget = pieces - soFar.Parts.Length - rest.Except(chosen).Sum(b => least[b]);
                foreach (
                    var option in From(own.Of(state, mustShare: chosen.Length > 1), Math.Min(budget, chosen.Sum(c => least[c]) + spare))
                )
                    if (option.Parts.Length <= budget)
                        Combine(
                            taken | chosen.Aggregate(0u, (bits, c) => bits | 1u << c),
                            soFar.With(option),
                            [.. moves, (own.Ends, option.Moves)]
                        );
            }
        }
    }

    // Looked at before the part is put in: whether any other end of it comes near enough to something it could be plugged into.
    private bool LeadsOn(JoinState state, int at, PartType part, int entry, int pieces)
    {
        for (var exit = 0; exit < part.Ends.Count; exit++)
        {
            if (exit == entry)
                continue;
            var (shape, gender) = (part.Ends[exit].Shape, part.Ends[exit].Gender);
            for (var s = 0; s < state.Sinks.Length; s++)
                if (state.Sinks[s] is not null && _distances.Between(shape, gender, Task.SideB[s].Shape, Task.SideB[s].Gender) <= pieces)
                    return true;
            for (var o = 0; o < state.Ends.Length; o++)
                if (o != at && _distances.Between(shape, gender, state.Ends[o].Shape, state.Ends[o].Gender) <= pieces)
                    return true;
        }
        return false;
    }

    private int LeastPieces(JoinState state)
    {
        var pieces = 0;
        while (pieces < MostLeast && !CanStillBeDone(state, pieces))
            pieces++;
        return pieces;
    }

    // Two channels that nothing forces together are looked at together only for pieces that carry both: without such a piece, and with no
    // spare end left to become one, each alone finds the same.
    private bool IsShared(JoinState state, int pieces)
    {
        if (!state.MustShare || state.IsLinked)
            return true;
        var open = 0u;
        foreach (var end in state.Ends)
        {
            var lanes = state.LanesOn(end.Nets);
            if (lanes == 0)
                return true;
            open |= lanes;
        }
        return pieces > 0 && (state.Lanes & ~open) == 0;
    }

    // Each socket still needs at least so many pieces as lie between its shape and the nearest that it could meet.
    private bool CanStillBeDone(JoinState state, int pieces)
    {
        for (var e = 0; e < state.Ends.Length; e++)
        {
            var end = state.Ends[e];
            if (end.MayHang)
                continue;
            var least = int.MaxValue;
            for (var s = 0; s < state.Sinks.Length; s++)
                if (state.Sinks[s] is not null)
                    least = Math.Min(
                        least,
                        Math.Max(
                            end.IsOnDevice ? 1 : 0,
                            _distances.Between(end.Shape, end.Gender, Task.SideB[s].Shape, Task.SideB[s].Gender)
                        )
                    );
            for (var o = 0; o < state.Ends.Length; o++)
                if (o != e)
                    least = Math.Min(least, _distances.Between(end.Shape, end.Gender, state.Ends[o].Shape, state.Ends[o].Gender));
            if (least > Math.Min(pieces, MostInChain - end.Depth))
                return false;
        }
        for (var s = 0; s < state.Sinks.Length; s++)
        {
            if (state.Sinks[s] is null)
                continue;
            var least = int.MaxValue;
            foreach (var end in state.Ends)
                least = Math.Min(least, _distances.Between(end.Shape, end.Gender, Task.SideB[s].Shape, Task.SideB[s].Gender));
            if (least > pieces)
                return false;
        }
        return true;
    }

    private JoinOption? Judged(JoinState state)
    {
        if (_rules.Facts(state) is not { } facts)
            return null;
        var (warnings, mismatchDb) = (0, 0.0);
        for (var k = 0; k < facts.Count; k++)
        {
            var lane = Task.Lanes[k];
            if (facts[k] is not { } own)
                continue;
            foreach (var hazard in LaneRules.Judge(lane.Source, lane.Sink, own, Task.AreBothEarthed))
            {
                if (hazard.Severity == Severity.Refuse)
                    return null;
                warnings += hazard.Severity == Severity.Warn ? 1 : 0;
            }
            mismatchDb += Math.Round(Math.Abs(LaneRules.MismatchDb(lane.Source, lane.Sink, own)), 3);
        }
        return new JoinOption([], null, facts, warnings, mismatchDb);
    }
}
