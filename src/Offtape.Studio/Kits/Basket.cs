namespace Offtape.Studio;

/// <summary>A machine with all that makes it work.</summary>
public sealed record Basket
{
    public required Offer Machine { get; init; }

    /// <summary>What is bought beside it.</summary>
    public required IReadOnlyList<(Offer Offer, int Count)> Lines { get; init; }

    /// <summary>How it is joined, cable by cable.</summary>
    public required Wiring Wiring { get; init; }

    /// <summary>What is put by for repairs.</summary>
    public required decimal Repairs { get; init; }

    public required decimal Total { get; init; }

    /// <summary>The wishes it meets, by weight, less one for each thing that is not known and matters.</summary>
    public required int Score { get; init; }

    public required int DoubtCount { get; init; }

    /// <summary>Channels there and back.</summary>
    public required int Channels { get; init; }

    public required double SpeedCmPerSecond { get; init; }

    public IReadOnlyList<Want> Met { get; init; } = [];

    public IReadOnlyList<Want> Unmet { get; init; } = [];

    /// <summary>What it cannot do, in sentences.</summary>
    public IReadOnlyList<string> CannotDo { get; init; } = [];

    public IReadOnlyList<string> Cautions { get; init; } = [];

    /// <summary>What of the patch hurts or suffers.</summary>
    public IReadOnlyList<Hazard> Hazards { get; init; } = [];

    /// <summary>What a minute of tape costs at each speed of the machine; empty where no tape is bought or priced.</summary>
    public IReadOnlyList<(double SpeedCmPerSecond, decimal PerMinute)> TapePerMinute { get; init; } = [];

    /// <summary>Why it stands where it does.</summary>
    public string Why { get; init; } = "";

    /// <summary>The cheapest change that would lift it.</summary>
    public string Lift { get; init; } = "";
}

/// <summary>Why an offer is in no basket.</summary>
public sealed record Rejection(Offer Offer, string Reason);

/// <summary>What was found.</summary>
/// <param name="Baskets">The best first.</param>
/// <param name="OutOfReach">The best of those that cost more than there is; null where there is none.</param>
/// <param name="Rejections">Machines that are in no basket, whatever the money, each with its reason.</param>
/// <param name="MachineCount">How many machines were looked at.</param>
/// <param name="TooDearCount">How many of them would do, and cost too much; those that were not worked out for being behind are not counted.</param>
public sealed record KitResult(
    IReadOnlyList<Basket> Baskets,
    Basket? OutOfReach,
    IReadOnlyList<Rejection> Rejections,
    int MachineCount,
    int TooDearCount
);
