namespace Offtape.Bench;

/// <summary>How a bench capture came about. It decides what can be known.</summary>
public enum HowTaken
{
    /// <summary>Heard from the replay head while the check signal was being recorded: mean speed cancels, slow wobble is combed.</summary>
    OffTape,

    /// <summary>Recorded, rewound, replayed on one machine: both runs' wobble adds up, its static azimuth and absolute speed cancel.</summary>
    Rewound,

    /// <summary>A tape that another machine recorded: its absolute speed and azimuth are those of this machine against that one.</summary>
    ForeignTape,
}
