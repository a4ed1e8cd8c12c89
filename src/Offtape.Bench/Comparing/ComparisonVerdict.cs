namespace Offtape.Bench;

/// <summary>What two figures of one quantity say of each other.</summary>
public enum ComparisonVerdict
{
    /// <summary>They lie no farther apart than their uncertainties reach together.</summary>
    Same,

    /// <summary>They lie farther apart than their uncertainties reach together.</summary>
    Changed,

    /// <summary>Farther apart, too, but no farther than two runs of one machine may lie, and read from too few runs to tell.</summary>
    RunToRun,

    /// <summary>Nothing can be said; the reason stands with it.</summary>
    NotComparable,
}
