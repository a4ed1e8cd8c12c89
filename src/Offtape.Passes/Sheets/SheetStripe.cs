using System.Globalization;

namespace Offtape.Passes;

/// <summary>The sync signal of a pass.</summary>
public sealed record SheetStripe
{
    /// <summary>Layout of the signal.</summary>
    public required int FormatVersion { get; init; }

    /// <summary>From 1.</summary>
    public required int Track { get; init; }

    /// <summary>The seed of its noise: sixteen hexadecimal digits.</summary>
    public required string Seed { get; init; }

    /// <summary>Where the stripe's own time zero stands in the send.</summary>
    public required double StartSeconds { get; init; }
    public required double LengthSeconds { get; init; }

    /// <summary>Length of the fade at each end.</summary>
    public double FadeSeconds { get; init; }

    /// <summary>Peak, as near as soft limiting brings it.</summary>
    public required double LevelDbfs { get; init; }

    /// <summary>The seed as a number; false when the text is not one.</summary>
    public bool TryReadSeed(out ulong seed) =>
        ulong.TryParse(Seed, NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out seed) && Seed.Length == 16;
}
