namespace Offtape.Studio;

/// <summary>Which half of a connection an end is.</summary>
public enum PlugGender
{
    /// <summary>Pins, a tip, bare wire: it goes into a socket. The output of a machine with XLR is one.</summary>
    Plug,

    /// <summary>It takes a plug.</summary>
    Socket,
}

/// <summary>A shape of plugs and sockets, with its contacts.</summary>
/// <param name="Id">As it is written in files: <c>jack-6.35-trs</c>.</param>
/// <param name="Words">As one says it.</param>
/// <param name="Contacts">Names of its contacts, in a fixed order.</param>
/// <param name="Source">Where its contacts are laid down, and what is from memory.</param>
public sealed record PlugShape(string Id, string Words, IReadOnlyList<string> Contacts, string Source)
{
    /// <summary>For round multipole plugs: where each contact stands on the arc, in degrees from the one opposite the key. Else empty.</summary>
    public IReadOnlyList<double> ContactDegrees { get; init; } = [];

    /// <summary>The place of a contact among <see cref="Contacts"/>, −1 where there is none of that name.</summary>
    public int IndexOf(string contact)
    {
        for (var i = 0; i < Contacts.Count; i++)
            if (Contacts[i] == contact)
                return i;
        return -1;
    }

    public override string ToString() => Id;
}
