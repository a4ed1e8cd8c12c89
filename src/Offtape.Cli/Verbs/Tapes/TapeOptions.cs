using System.CommandLine;
using Offtape.Base;
using Offtape.Cli.Shell;
using Offtape.Studio;
using Offtape.Tape;

namespace Offtape.Cli.Verbs.Tapes;

/// <summary>Options that several verbs of <c>tape</c> share.</summary>
internal static class TapeOptions
{
    private const double MostMarginSeconds = 3600;

    public static Option<double?> Speed() =>
        Quantities.Speed("--speed", "tape speed, in cm/s or as 7.5ips; else what the tape is usually run at");

    public static Option<double?> StartMargin() =>
        Quantities.Number(
            "--start-margin",
            "S",
            $"kept clear at the beginning of a side; {SideMargins.UsualSeconds:0} unless told",
            -1e-9,
            MostMarginSeconds
        );

    public static Option<double?> EndMargin() =>
        Quantities.Number(
            "--end-margin",
            "S",
            $"kept clear at its end; {SideMargins.UsualSeconds:0} unless told",
            -1e-9,
            MostMarginSeconds
        );

    public static SideMargins Margins(double? start, double? end) =>
        new(Math.Max(0, start ?? SideMargins.UsualSeconds), Math.Max(0, end ?? SideMargins.UsualSeconds));

    public static Option<string?> Machine() => Quantities.Text("--machine", "NAME", "whose counter is told");

    /// <summary>The speed asked for; else 4.76 cm/s of a cassette, 9.5 of a four-track one, 19 of a reel: usual, no more.</summary>
    public static TapeSpeed SpeedFor(double? asked, TapeEntry? tape) =>
        asked is { } speed ? new TapeSpeed(speed) : tape?.UsualSpeed ?? TapeSpeeds.OneAndSevenEighths.Speed;
}
