namespace Offtape.Studio;

/// <summary>What a part is, for lists and drawings.</summary>
public enum PartKind
{
    Cable,
    Adapter,
    Attenuator,
    Transformer,
}

/// <summary>One end of a part.</summary>
/// <param name="Shape">Its shape.</param>
/// <param name="Gender">Plug or socket.</param>
/// <param name="Label">What is written on it: <c>left</c>, <c>pin 1</c>.</param>
public sealed record PartEnd(PlugShape Shape, PlugGender Gender, string Label);

/// <summary>A wire inside a part, from a contact of one end to a contact of another (or of the same).</summary>
/// <param name="FromEnd">Which end.</param>
/// <param name="FromContact">Which contact, by its place in the shape.</param>
/// <param name="ToEnd">Which end.</param>
/// <param name="ToContact">Which contact.</param>
/// <param name="IsAttenuated">Whether the part's attenuation lies in it.</param>
public readonly record struct PartWire(int FromEnd, int FromContact, int ToEnd, int ToContact, bool IsAttenuated);

/// <summary>A cable, an adapter, an attenuator or a transformer: its ends, and what is joined to what inside it.</summary>
public sealed record PartType(string Id, string Words, PartKind Kind, IReadOnlyList<PartEnd> Ends, IReadOnlyList<PartWire> Wires)
{
    /// <summary>How much weaker the sound leaves it, in its attenuated wires.</summary>
    public double AttenuationDb { get; init; }

    /// <summary>No direct current passes: a transformer, or a capacitor in line.</summary>
    public bool BlocksDc { get; init; }

    /// <summary>The grounds of its two sides are apart: it opens earth loops.</summary>
    public bool Isolates { get; init; }

    /// <summary>Made to be fed by a loudspeaker output.</summary>
    public bool TakesSpeakerLevel { get; init; }

    public override string ToString() => Id;
}
