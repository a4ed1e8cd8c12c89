namespace Offtape.Studio;

/// <summary>Puts a chosen option together: turns its moves into pieces with numbers and plugs in sockets.</summary>
internal sealed class WiringBuilder
{
    private readonly List<PatchPiece> _pieces = [];
    private readonly List<PatchJoin> _joins = [];
    private readonly Dictionary<string, int> _drawer;

    public WiringBuilder(IReadOnlyDictionary<string, int> drawer) => _drawer = new(drawer);

    public Wiring Wiring => new([.. _pieces], [.. _joins]);

    /// <summary>What of the drawer is not used yet.</summary>
    public IReadOnlyDictionary<string, int> Left => _drawer;

    /// <param name="task">The task as the search saw it.</param>
    /// <param name="deviceA">The device of its side A.</param>
    /// <param name="deviceB">The device of its side B.</param>
    /// <param name="moves">How the option is put together.</param>
    /// <param name="parts">The search's list of parts.</param>
    public void Add(JoinTask task, string deviceA, string deviceB, Move? moves, IReadOnlyList<PartType> parts)
    {
        List<PatchPoint> ends = [.. task.SideA.Select(s => PatchPoint.On(deviceA, s.Name))];
        Follow(ends, moves);

        void Follow(List<PatchPoint> open, Move? move)
        {
            for (; move is not null; move = move.Then)
            {
                if (move.Kind == MoveKind.Split)
                {
                    foreach (var (branch, own) in move.Branches)
                        Follow([.. branch.Select(e => open[e])], own);
                    return;
                }
                if (move.Kind == MoveKind.Leave)
                    return;
                var first = open[move.End];
                open.RemoveAt(move.End);
                switch (move.Kind)
                {
                    case MoveKind.PlugIntoSink:
                        _joins.Add(new PatchJoin(first, PatchPoint.On(deviceB, task.SideB[move.Index].Name)));
                        break;
                    case MoveKind.PlugTogether:
                        _joins.Add(new PatchJoin(first, open[Shifted(move)]));
                        open.RemoveAt(Shifted(move));
                        break;
                    case MoveKind.Add:
                        var piece = Take(parts[move.Part]);
                        _joins.Add(new PatchJoin(first, PatchPoint.Of(piece, move.Index)));
                        open.InsertRange(
                            0,
                            Enumerable.Range(0, piece.Type.Ends.Count).Where(e => e != move.Index).Select(e => PatchPoint.Of(piece, e))
                        );
                        break;
                }
            }
        }
    }

    // The place of the other end once the first was taken out.
    private static int Shifted(Move move) => move.Index > move.End ? move.Index - 1 : move.Index;

    private PatchPiece Take(PartType type)
    {
        var isThere = _drawer.GetValueOrDefault(type.Id) > 0;
        if (isThere)
            _drawer[type.Id]--;
        var piece = new PatchPiece(_pieces.Count + 1, type, isThere);
        _pieces.Add(piece);
        return piece;
    }
}
