namespace Offtape.Bench;

/// <summary>What turns in a tape machine.</summary>
public enum TurningPart
{
    /// <summary>The shaft that drives the tape, with its flywheel.</summary>
    Capstan,

    PinchRoller,

    /// <summary>A wheel between two others, or a roller that the tape turns.</summary>
    Idler,

    /// <summary>A hub or reel with the tape that is wound on it: it turns faster the less there is.</summary>
    Hub,

    Belt,

    Motor,
}

/// <summary>A part that somebody has measured, or whose turns are known.</summary>
/// <param name="Part">What it is.</param>
/// <param name="DiameterMm">Where the tape or its rim runs at tape speed; null where its turns are given.</param>
/// <param name="TurnsPerSecond">Of a part that does not run at tape speed; null where the diameter is given.</param>
public sealed record KnownPart(TurningPart Part, double? DiameterMm, double? TurnsPerSecond = null);

/// <summary>A part that may be what makes speed go up and down.</summary>
/// <param name="Part">What it is.</param>
/// <param name="TurnsPerSecond">How often it would turn to make the lines it is held for.</param>
/// <param name="Likelihood">0 to 1; all candidates and what is none of them add up to 1.</param>
/// <param name="LinesHz">The lines it would account for, its own turns first.</param>
/// <param name="Words">Why it is thought of, in a sentence's end: "a capstan of 2.4 mm turns 6.3 times a second".</param>
public sealed record PartCandidate(TurningPart Part, double TurnsPerSecond, double Likelihood, IReadOnlyList<double> LinesHz, string Words);
