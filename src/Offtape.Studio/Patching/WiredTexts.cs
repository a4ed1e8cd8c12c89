namespace Offtape.Studio;

/// <summary>
/// A wired patch out of its written form: pieces with names of their own, and joins as <c>interface: line out 1 &gt; a: 0</c>, a device's
/// socket by its name, an end of a piece by its number or its label.
/// </summary>
internal static class WiredTexts
{
    /// <exception cref="FormatException">A piece, a socket or a join is not understood.</exception>
    public static Wiring Parse(Rig rig, WiredText text)
    {
        var pieces = new Dictionary<string, PatchPiece>();
        foreach (var (name, type) in text.Pieces)
        {
            var part =
                rig.Parts.FirstOrDefault(p => p.Id == type)
                ?? throw new FormatException($"\"{type}\" is no part; offtape patch parts lists them");
            pieces[name] = new PatchPiece(pieces.Count + 1, part, true);
        }
        var joins = text.Joins.Select(j => Join(rig, pieces, j)).ToArray();
        var twice = joins.SelectMany(j => new[] { j.A, j.B }).GroupBy(p => p).FirstOrDefault(g => g.Count() > 1);
        if (twice is not null)
            throw new FormatException($"{(twice.Key.Device ?? $"piece {twice.Key.Piece}")}: {twice.Key.Socket} has two plugs");
        return new Wiring([.. pieces.Values], joins);
    }

    private static PatchJoin Join(Rig rig, Dictionary<string, PatchPiece> pieces, string text)
    {
        var halves = text.Split('>');
        if (halves.Length != 2)
            throw new FormatException($"\"{text}\" is not a join: write device: socket > piece: end");
        return new PatchJoin(Point(rig, pieces, halves[0]), Point(rig, pieces, halves[1]));
    }

    private static PatchPoint Point(Rig rig, Dictionary<string, PatchPiece> pieces, string text)
    {
        var colon = text.IndexOf(':');
        if (colon < 0)
            throw new FormatException($"\"{text.Trim()}\" names no socket: write device: socket, or piece: end");
        var (name, end) = (text[..colon].Trim(), text[(colon + 1)..].Trim());
        if (pieces.TryGetValue(name, out var piece))
        {
            var number =
                int.TryParse(end, out var n) && n >= 0 && n < piece.Type.Ends.Count
                    ? n
                    : piece.Type.Ends.Select((e, i) => (e, i)).Where(e => e.e.Label == end).Select(e => e.i).DefaultIfEmpty(-1).First();
            return number >= 0
                ? PatchPoint.Of(piece, number)
                : throw new FormatException(
                    $"{piece.Type.Words} has no end \"{end}\"; its ends are {string.Join(", ", piece.Type.Ends.Select(e => e.Label))}"
                );
        }
        var point = PatchPoint.On(name, end);
        if (rig.Find(point) is not null)
            return point;
        var device =
            rig.Devices.FirstOrDefault(d => d.Name == name) ?? throw new FormatException($"there is no device or piece \"{name}\"");
        throw new FormatException($"{name} has no socket \"{end}\"; it has {string.Join(", ", device.Sockets.Select(s => s.Name))}");
    }
}
