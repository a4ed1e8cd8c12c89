namespace Offtape.Studio;

/// <summary>How a machine was lined up once: steady tone, meter at zero.</summary>
public sealed record LineUp
{
    /// <summary>The least and the most that an interface can play or be given, in dBFS.</summary>
    public const double LeastDbfs = -120;
    public const double MostDbfs = 24;

    /// <summary>Further no trim turns, in dB.</summary>
    public const double MostTrimDb = 80;

    /// <summary>UTC, as 2026-05-31T12:00:00Z.</summary>
    public string At { get; init; } = "";

    /// <summary>Peak of the sine that the interface plays while the machine's meter stands at its zero.</summary>
    public double? SendDbfsAtZero { get; init; }

    /// <summary>Peak of the sine that comes back into the interface then.</summary>
    public double? ReturnDbfsAtZero { get; init; }

    /// <summary>What the interface's trim was turned by.</summary>
    public double? TrimDb { get; init; }
    public double? SpeedCmPerSecond { get; init; }
    public string? TapeType { get; init; }
    public string Note { get; init; } = "";
}
