using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Studio;

/// <summary>A tape of the studio.</summary>
/// <param name="Name">As its box says.</param>
public sealed record TapeEntry(string Name)
{
    /// <summary>"cassette" or "quarter-inch"; null where it was not said.</summary>
    public string? Medium { get; init; }

    /// <summary>What a machine is biased for: I, II, IV, or words.</summary>
    public string? Type { get; init; }

    public double? LengthMetres { get; init; }

    public double? ThicknessMicrometres { get; init; }

    /// <summary>How its tracks lie; null where it was not said.</summary>
    public TrackFormat? Format { get; init; }

    public string Note { get; init; } = "";

    public IReadOnlyList<TapeSide> Sides { get; init; } = [];

    public bool IsCassette => Medium == "cassette";

    /// <summary>What such a tape is usually run at: 4.76 cm/s of a cassette, 9.5 of a four-track one, 19 of a reel; no more than usual.</summary>
    public TapeSpeed UsualSpeed =>
        ReferenceEquals(Format, TrackFormats.CassetteFourTrack) ? TapeSpeeds.ThreeAndThreeQuarters.Speed
        : IsCassette ? TapeSpeeds.OneAndSevenEighths.Speed
        : TapeSpeeds.SevenAndAHalf.Speed;
}
