namespace Offtape.Studio;

/// <summary>A cable or an adapter that lies in a patch.</summary>
/// <param name="Number">Counted from 1; what stands beside it in drawing and table.</param>
/// <param name="Type">What it is.</param>
/// <param name="IsInDrawer">Whether it is there already; else it has to be bought.</param>
public sealed record PatchPiece(int Number, PartType Type, bool IsInDrawer);

/// <summary>One end of a join: a socket of a device, or an end of a piece.</summary>
/// <param name="Device">The device's name; null for a piece.</param>
/// <param name="Socket">The socket's name; for a piece the label of its end.</param>
/// <param name="Piece">The piece's number; 0 for a device.</param>
/// <param name="End">Which end of the piece, from 0.</param>
public sealed record PatchPoint(string? Device, string Socket, int Piece, int End)
{
    public bool IsOnDevice => Device is not null;

    public static PatchPoint On(string device, string socket) => new(device, socket, 0, 0);

    public static PatchPoint Of(PatchPiece piece, int end) => new(null, piece.Type.Ends[end].Label, piece.Number, end);
}

/// <summary>A plug in a socket.</summary>
public sealed record PatchJoin(PatchPoint A, PatchPoint B);

/// <summary>Pieces, and what is plugged into what.</summary>
public sealed record Wiring(IReadOnlyList<PatchPiece> Pieces, IReadOnlyList<PatchJoin> Joins)
{
    public static Wiring Empty { get; } = new([], []);

    public PatchPiece Piece(int number) => Pieces.First(p => p.Number == number);
}
