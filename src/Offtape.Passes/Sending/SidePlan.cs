namespace Offtape.Passes;

/// <summary>Whether a send fits one side of the tape, how much of the tape it takes, and what to do when it does not fit.</summary>
/// <param name="SideSeconds">Playing time of the side; null: not said.</param>
/// <param name="NeededSeconds">The send with both margins.</param>
/// <param name="MarginStartSeconds">Blank tape between the leader and the send's first frame.</param>
/// <param name="MarginEndSeconds">Blank tape after the send's last frame.</param>
/// <param name="Fits">True also when the side's time is not known.</param>
/// <param name="TapeMetres">Length of tape used; null when the speed is not known.</param>
/// <param name="Sides">The proposed split, in the order of the sources; one side when all fits; empty when no split helps.</param>
/// <param name="TooLong">Sources that fit on no side of this length, not even alone.</param>
/// <param name="ShortestTape">The shortest usual tape whose side would hold the whole send, in words; null when none is long enough.</param>
public sealed record SidePlan(
    double? SideSeconds,
    double NeededSeconds,
    double MarginStartSeconds,
    double MarginEndSeconds,
    bool Fits,
    double? TapeMetres,
    IReadOnlyList<TapeSide> Sides,
    IReadOnlyList<string> TooLong,
    string? ShortestTape
);

/// <summary>One side of a proposed split.</summary>
/// <param name="Number">From 1.</param>
/// <param name="Sources">File names, in order.</param>
/// <param name="NeededSeconds">What this side's send would take, with both margins.</param>
public sealed record TapeSide(int Number, IReadOnlyList<string> Sources, double NeededSeconds);
