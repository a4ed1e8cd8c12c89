namespace Offtape.Studio;

/// <summary>What stands in a field.</summary>
public enum AskedKind
{
    Number,

    /// <summary>A whole number.</summary>
    Whole,

    /// <summary>A tape speed in cm/s, or in inches a second with its unit.</summary>
    Speed,

    /// <summary>An electrical level with its unit, kept in dBu.</summary>
    Level,

    Text,
}
