using Offtape.Base;

namespace Offtape.Studio;

/// <summary>Which way the sound goes through a lane of a socket, seen from the thing it is on.</summary>
public enum Flow
{
    Out,
    In,
}

/// <summary>How an output drives its two legs, or whether an input has two.</summary>
public enum Balance
{
    /// <summary>One leg and ground.</summary>
    Unbalanced,

    /// <summary>Two driven legs, each against ground: the cold one may be left open, and should not be shorted.</summary>
    Active,

    /// <summary>One driven leg; the other only has the same impedance.</summary>
    Impedance,

    /// <summary>A transformer or a cross-coupled driver: the cold leg has to go somewhere, or there is hardly any sound.</summary>
    Floating,
}

/// <summary>Whether an input puts 48 V on its contacts.</summary>
public enum PhantomPower
{
    None,

    /// <summary>There is a switch for it.</summary>
    Switched,

    /// <summary>It is on, and cannot be switched off or has to stay on.</summary>
    On,
}

/// <summary>One channel of sound through a socket: which contacts carry it, and at what level.</summary>
public sealed record SocketLane(Flow Flow, int Channel, SignalKind Kind, string Hot, string? Cold, string Ground)
{
    /// <summary>The level meant by 0 on its meter, RMS.</summary>
    public required double NominalDbu { get; init; }

    /// <summary>The most it gives or takes undistorted.</summary>
    public required double MaximumDbu { get; init; }

    /// <summary>Its impedance.</summary>
    public required double Ohms { get; init; }

    public Balance Balance { get; init; } = Balance.Unbalanced;

    public PhantomPower Phantom { get; init; } = PhantomPower.None;

    /// <summary>A few volts on the tip, for small microphones.</summary>
    public bool HasPlugInPower { get; init; }

    /// <summary>It sets its own record level, and nobody can switch that off.</summary>
    public bool HasAutomaticLevel { get; init; }

    /// <summary>It gives a current, not a voltage: how loud it is goes with the load.</summary>
    public bool IsCurrentSource => Flow == Flow.Out && Kind == SignalKind.DinRecord;

    /// <summary>What an output really gives into a load, in dBu.</summary>
    public double LevelIntoDbu(double loadOhms) =>
        IsCurrentSource
            ? Conversions.VoltsToDbu(SignalStandards.DinVoltsPerOhm * loadOhms)
            : NominalDbu + Conversions.AmplitudeToDb(loadOhms / (loadOhms + Ohms));
}

/// <summary>A socket on a machine or an interface.</summary>
/// <param name="Name">As it is called in the patch: <c>line out 1</c>.</param>
/// <param name="Shape">Its shape.</param>
/// <param name="Gender">XLR outputs have pins; all else takes a plug.</param>
/// <param name="Lanes">The channels through it; a DIN socket of a recorder has four.</param>
public sealed record Socket(string Name, PlugShape Shape, PlugGender Gender, IReadOnlyList<SocketLane> Lanes);

/// <summary>Sockets that belong together and are used as one: the line inputs, the DIN socket.</summary>
/// <param name="Name">As it is called: <c>line in</c>.</param>
/// <param name="Sockets">In the order of their channels.</param>
public sealed record Port(string Name, IReadOnlyList<Socket> Sockets)
{
    /// <summary>Each lane of one direction with its socket, in the order of the channels.</summary>
    public IEnumerable<(Socket Socket, SocketLane Lane)> Lanes(Flow flow) =>
        Sockets.SelectMany(s => s.Lanes.Where(l => l.Flow == flow).Select(l => (s, l))).OrderBy(l => l.l.Channel);
}
