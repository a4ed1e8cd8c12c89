namespace Offtape.Studio;

/// <summary>Something with sockets: the interface, a machine.</summary>
/// <param name="Name">As it is called in the patch.</param>
/// <param name="Ports">Its sockets, in groups.</param>
public sealed record StudioDevice(string Name, IReadOnlyList<Port> Ports)
{
    /// <summary>Its chassis is joined to the safety earth of the mains (class I); two such things and an unbalanced cable make a loop.</summary>
    public bool HasSafetyEarth { get; init; }

    /// <summary>Its safety earth was taken off: never.</summary>
    public bool IsEarthLifted { get; init; }

    /// <summary>One side of the mains is on its chassis, as in some old sets without a mains transformer.</summary>
    public bool HasLiveChassis { get; init; }

    public IEnumerable<Socket> Sockets => Ports.SelectMany(p => p.Sockets);

    /// <summary>Channels of one direction, over all ports of that kind.</summary>
    public IEnumerable<Port> PortsWith(Flow flow) => Ports.Where(p => p.Lanes(flow).Any());
}
