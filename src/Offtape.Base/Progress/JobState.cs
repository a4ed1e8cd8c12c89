namespace Offtape.Base;

/// <summary>How far a job is.</summary>
/// <param name="Stage">A stable one-word name of the stage: "reading", "finding", "writing".</param>
/// <param name="Fraction">The share of the whole job that is done, 0 to 1.</param>
/// <param name="Words">What is being done, for a person: "finding 3 of 12".</param>
public readonly record struct JobState(string Stage, double Fraction, string Words);
