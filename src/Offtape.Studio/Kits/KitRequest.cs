namespace Offtape.Studio;

/// <summary>What somebody has, wants and can pay.</summary>
public sealed record KitRequest
{
    public required StudioDevice Interface { get; init; }

    public IReadOnlyDictionary<string, int> Drawer { get; init; } = new Dictionary<string, int>();

    /// <summary>Tapes that are there already.</summary>
    public IReadOnlyList<OfferFeatures> DrawerTapes { get; init; } = [];

    /// <summary>Mains transformers that are there already: from and to.</summary>
    public IReadOnlyList<(double FromVolts, double ToVolts)> DrawerTransformers { get; init; } = [];

    public IReadOnlyList<PartType> Parts { get; init; } = PartTypes.All;

    public required decimal Money { get; init; }

    public string Currency { get; init; } = "";

    public required double MainsVolts { get; init; }

    public required double MainsHertz { get; init; }

    /// <summary>How many channels are wanted there and back.</summary>
    public int Channels { get; init; } = 2;

    /// <summary>How many minutes of recording the tape has to hold at the speed that is used.</summary>
    public double TapeMinutes { get; init; } = 30;

    public IReadOnlyList<Want> Musts { get; init; } = [];

    /// <summary>Wishes, each with how much it counts.</summary>
    public IReadOnlyList<(Want Want, int Weight)> Wishes { get; init; } = [];

    /// <summary>What repairs usually come to, by condition and by kind of machine; both are added.</summary>
    public IReadOnlyDictionary<string, decimal> Repairs { get; init; } = new Dictionary<string, decimal>();

    /// <summary>Alcohol and swabs for an hour of running; null where it is not told.</summary>
    public decimal? CleaningPerHour { get; init; }
}
