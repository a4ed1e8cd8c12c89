namespace Offtape.Studio;

/// <summary>What became of a cold leg on the way.</summary>
public enum ColdLeg
{
    /// <summary>There is none.</summary>
    None,

    /// <summary>Joined to the other side's cold leg.</summary>
    Joined,

    /// <summary>Tied to ground.</summary>
    Ground,

    /// <summary>Left open.</summary>
    Open,
}

/// <summary>What the pieces between an output and an input do to one channel of sound.</summary>
public sealed record LaneFacts
{
    public double AttenuationDb { get; init; }

    /// <summary>A transformer keeps the two grounds apart.</summary>
    public bool IsIsolated { get; init; }

    public bool BlocksDc { get; init; }

    /// <summary>A part made for it takes the loudspeaker's level.</summary>
    public bool TakesSpeakerLevel { get; init; }

    public ColdLeg SourceCold { get; init; } = ColdLeg.None;

    public ColdLeg SinkCold { get; init; } = ColdLeg.None;

    public bool IsGroundJoined { get; init; } = true;
}
