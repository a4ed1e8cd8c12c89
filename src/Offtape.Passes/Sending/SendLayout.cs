namespace Offtape.Passes;

/// <summary>How the sources of a pass stand to each other.</summary>
public enum SendLayout
{
    /// <summary>One after another.</summary>
    Serial,

    /// <summary>Together, each on its own tracks.</summary>
    Parallel,
}
