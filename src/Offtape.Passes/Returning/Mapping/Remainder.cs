namespace Offtape.Passes.Mapping;

/// <summary>How much of what is heard the source does not explain along the fine map, beyond hiss, as shares of power from 0 to 1.</summary>
/// <param name="OfGoodBands">A quarter of the bands that stand out of the hiss leave less.</param>
/// <param name="OfPower">Of the power of all these bands together.</param>
internal readonly record struct Remainder(double OfGoodBands, double OfPower)
{
    /// <summary>Nothing is explained.</summary>
    internal static Remainder All { get; } = new(1, 1);
}
