namespace Offtape.Studio;

/// <summary>An input of the interface that is heard straight through one of its outputs.</summary>
public sealed record Monitoring(int Input, int Output);

/// <summary>What there is to be joined, and what there is to join it with.</summary>
public sealed record Rig
{
    public required StudioDevice Interface { get; init; }

    public IReadOnlyList<StudioDevice> Machines { get; init; } = [];

    /// <summary>What lies in the drawer: how many of each part, by its id.</summary>
    public IReadOnlyDictionary<string, int> Drawer { get; init; } = new Dictionary<string, int>();

    /// <summary>What a part costs that has to be bought, by its id; not every part needs a price.</summary>
    public IReadOnlyDictionary<string, decimal> Prices { get; init; } = new Dictionary<string, decimal>();

    /// <summary>The parts that can be had: the usual ones and those of one's own.</summary>
    public IReadOnlyList<PartType> Parts { get; init; } = PartTypes.All;

    public IReadOnlyList<Monitoring> Monitoring { get; init; } = [];

    /// <summary>How it is wired now, where that was told; empty else.</summary>
    public Wiring Wired { get; init; } = Wiring.Empty;

    /// <summary>The level that full scale of the interface stands for at its line outputs, in dBu; null where it was not told.</summary>
    public double? FullScaleDbu { get; init; }

    public IEnumerable<StudioDevice> Devices => Machines.Prepend(Interface);

    /// <summary>The device and socket of a point; null when there is none of that name.</summary>
    public (StudioDevice Device, Socket Socket)? Find(PatchPoint point)
    {
        foreach (var device in Devices.Where(d => d.Name == point.Device))
        foreach (var socket in device.Sockets.Where(s => s.Name == point.Socket))
            return (device, socket);
        return null;
    }
}
