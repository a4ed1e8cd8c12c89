namespace Offtape.Signal;

/// <summary>How a window's formula is laid over N values.</summary>
public enum WindowForm
{
    /// <summary>One period of N: the value that would close the period is left out. For spectra and for overlapping blocks.</summary>
    Periodic,

    /// <summary>First and last value equal, N − 1 steps. For filters and for fades.</summary>
    Symmetric,
}
