namespace Offtape.Base;

/// <summary>What the process says when it ends.</summary>
public enum ExitCode
{
    Done = 0,

    /// <summary>A fault of the program itself.</summary>
    Unexpected = 1,

    /// <summary>Wrong usage, or options that contradict each other.</summary>
    Usage = 2,

    /// <summary>Done, but something asked for was not found, does not fit, or fell outside a stated limit.</summary>
    Incomplete = 3,

    /// <summary>An input cannot be read.</summary>
    InputUnreadable = 4,

    /// <summary>An output cannot be written, or exists already.</summary>
    OutputUnwritable = 5,

    Interrupted = 130,
}
