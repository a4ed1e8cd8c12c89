using Offtape.Bench;

namespace Offtape.Studio;

/// <summary>How a capture was taken, as files and the command have it.</summary>
public static class HowWords
{
    public static string Of(HowTaken how) =>
        how switch
        {
            HowTaken.OffTape => "off-tape",
            HowTaken.Rewound => "rewound",
            _ => "foreign-tape",
        };
}
