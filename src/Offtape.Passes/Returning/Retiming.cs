namespace Offtape.Passes;

/// <summary>How much of the tape's movement is taken out of a take.</summary>
public enum Retiming
{
    /// <summary>Moved by whole samples, bit for bit.</summary>
    Shift,

    /// <summary>One constant ratio from the first beat to the last.</summary>
    Fit,

    /// <summary>What is slower than a corner is taken out, the rest kept.</summary>
    Steady,

    /// <summary>All that can be followed is taken out.</summary>
    Lock,
}
