namespace Offtape.Studio;

/// <summary>What an offer is of.</summary>
public enum OfferKind
{
    CassetteDeck,
    CassetteMultitrack,
    Reel,
    Portable,

    /// <summary>A cable, an adapter, an attenuator, a transformer for sound.</summary>
    Part,
    Tape,

    /// <summary>A transformer that turns one mains voltage into another.</summary>
    MainsTransformer,
}

/// <summary>How a thing is said to be.</summary>
public enum OfferCondition
{
    New,
    Serviced,
    Working,
    Untested,
    Faulty,
}

/// <summary>What drives a machine's capstan.</summary>
public enum MotorKind
{
    Unknown,

    /// <summary>Direct current, regulated: neither mains voltage nor frequency sets its speed.</summary>
    Dc,

    /// <summary>Its speed is that of the mains.</summary>
    Synchronous,

    /// <summary>Its speed follows the mains closely.</summary>
    Induction,
}

/// <summary>One thing that is for sale.</summary>
public sealed record Offer
{
    /// <summary>Where it stands in its file, from 1; 0 for one that was typed in.</summary>
    public required int Row { get; init; }

    public required string Title { get; init; }

    public required OfferKind Kind { get; init; }

    public required decimal Price { get; init; }

    /// <summary>Paid once, however many are taken.</summary>
    public decimal Shipping { get; init; }

    /// <summary>How many there are.</summary>
    public int Count { get; init; } = 1;

    public OfferCondition Condition { get; init; } = OfferCondition.Working;

    public string Notes { get; init; } = "";

    public OfferFeatures Features { get; init; } = new();

    /// <summary>Its sockets; of a machine.</summary>
    public IReadOnlyList<Port> Ports { get; init; } = [];

    /// <summary>Mains voltages it takes, as ranges; empty where that is not told. Batteries need none.</summary>
    public IReadOnlyList<(double From, double To)> MainsVolts { get; init; } = [];

    /// <summary>Mains frequencies it takes; empty where that is not told.</summary>
    public IReadOnlyList<double> MainsHertz { get; init; } = [];

    /// <summary>What part it is, for a part.</summary>
    public PartType? Part { get; init; }

    public bool IsMachine => Kind is OfferKind.CassetteDeck or OfferKind.CassetteMultitrack or OfferKind.Reel or OfferKind.Portable;

    public decimal Cost(int pieces) => pieces == 0 ? 0 : Price * pieces + Shipping;
}

/// <summary>What is told of a thing besides its price.</summary>
public sealed record OfferFeatures
{
    /// <summary>Its replay is heard while it records: separate heads.</summary>
    public bool HasOffTape { get; init; }

    public bool HasPitch { get; init; }

    public bool IsPortable { get; init; }

    public bool HasBattery { get; init; }

    public bool HasLiveChassis { get; init; }

    public bool HasSafetyEarth { get; init; }

    public bool HasWornLead { get; init; }

    public bool IsSticky { get; init; }

    public bool IsMouldy { get; init; }

    /// <summary>Tracks recorded at once.</summary>
    public int? Tracks { get; init; }

    public IReadOnlyList<double> SpeedsCmPerSecond { get; init; } = [];

    /// <summary>Types of tape that a machine is biased for, or the type of a tape: I, II, IV; for reels a maker's class.</summary>
    public IReadOnlyList<string> TapeTypes { get; init; } = [];

    /// <summary><c>cassette</c> or <c>reel</c>.</summary>
    public string? Format { get; init; }

    public MotorKind Motor { get; init; } = MotorKind.Unknown;

    /// <summary>Length of a tape on one side.</summary>
    public double? LengthMetres { get; init; }

    /// <summary>Voltages of a mains transformer.</summary>
    public double? FromVolts { get; init; }

    public double? ToVolts { get; init; }
}
