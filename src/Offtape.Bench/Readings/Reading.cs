namespace Offtape.Bench;

/// <summary>One figure of a machine, with how sure it is and where it comes from; or the reason why there is none.</summary>
public sealed record Reading
{
    /// <summary>What is read, in camelCase, the same in every report: <c>weightedTwoSigma</c>, <c>balance</c>.</summary>
    public required string Quantity { get; init; }

    /// <summary>Channel of the capture, from 1; null for what belongs to the whole machine or to a pair of channels.</summary>
    public int? Channel { get; init; }

    /// <summary>What it was read at, where one quantity is read several times: <c>1 kHz, 0 dB</c>. Empty otherwise.</summary>
    public string Condition { get; init; } = "";

    /// <summary>The figure in <see cref="Unit"/>; null where it cannot be had.</summary>
    public double? Value { get; init; }

    /// <summary><c>%</c>, <c>dB</c>, <c>Hz</c>, <c>µs</c>; empty for a pure number.</summary>
    public required string Unit { get; init; }

    /// <summary>
    /// Half of the interval about the value that holds the truth 95 times in 100, in the same unit (expanded uncertainty, coverage factor 2,
    /// JCGM 100:2008); null where there is no value.
    /// </summary>
    public double? Uncertainty { get; init; }

    /// <summary>
    /// Where noise hides the figure: what it does not exceed, 95 times in 100, in the same unit; null otherwise. <see cref="Value"/> is then null
    /// and <see cref="Reason"/> says that it is hidden.
    /// </summary>
    public double? AtMost { get; init; }

    /// <summary>How it was read, in one short sentence.</summary>
    public required string Method { get; init; }

    /// <summary>The standard or paper it follows; empty where it is plain arithmetic.</summary>
    public string Standard { get; init; } = "";

    /// <summary>Why there is no value, and what would give one; null where there is a value.</summary>
    public string? Reason { get; init; }

    /// <summary>The same in every report of one machine, so that two reports can be laid side by side.</summary>
    internal (string Quantity, int? Channel, string Condition) Key => (Quantity, Channel, Condition);

    /// <summary>The same reading with an upper limit for a value.</summary>
    internal Reading Hidden(double atMost, string reason) => Unknown(reason) with { AtMost = atMost };

    /// <summary>The same reading without a value.</summary>
    internal Reading Unknown(string reason) => this with { Value = null, Uncertainty = null, Reason = reason };
}
