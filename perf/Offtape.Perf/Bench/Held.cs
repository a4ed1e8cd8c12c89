namespace Offtape.Perf.Bench;

/// <summary>A reading held against what is true.</summary>
/// <param name="Quantity">As the reading has it, and so the next ones.</param>
/// <param name="Truth">In the reading's unit.</param>
/// <param name="Value">Null where the reading could not be had.</param>
internal sealed record Held(
    string Quantity,
    string Machine,
    int Seed,
    string Condition,
    int? Channel,
    double Truth,
    double? Value,
    double? Uncertainty
)
{
    internal bool IsRead => Value is not null && Uncertainty is not null;

    internal bool IsWithin => Math.Abs(Value!.Value - Truth) <= Uncertainty!.Value;

    /// <summary>Error in units of the uncertainty; a yes or no is either right, 0, or as wrong as can be.</summary>
    internal double Share =>
        Uncertainty > 0 ? Math.Abs(Value!.Value - Truth) / Uncertainty.Value
        : Value == Truth ? 0
        : double.PositiveInfinity;

    /// <summary>Fields for a table of all of them, with tabulators between.</summary>
    internal string Row =>
        FormattableString.Invariant($"{Quantity}\t{Machine}\t{Seed}\t{Condition}\t{Channel}\t{Truth:R}\t{Value:R}\t{Uncertainty:R}");
}
