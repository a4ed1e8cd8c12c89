using Offtape.Passes;
using Offtape.Web.Bringing;

namespace Offtape.Web.Listening;

/// <summary>A time map as it is drawn under the waveforms of its take.</summary>
/// <param name="SourceSeconds">Moments of the source, evenly spaced.</param>
/// <param name="CaptureSeconds">When in the recording they are heard.</param>
/// <param name="LateMilliseconds">How late against a tape that runs at the take's mean speed.</param>
/// <param name="SigmaMilliseconds">How well that is known, one sigma.</param>
internal sealed record HeardMap(
    IReadOnlyList<double> SourceSeconds,
    IReadOnlyList<double> CaptureSeconds,
    IReadOnlyList<double> LateMilliseconds,
    IReadOnlyList<double> SigmaMilliseconds
)
{
    // In silence the deviation grows without end; no drawing reaches so far.
    private const double MostMilliseconds = 1e5;

    public static HeardMap? Of(ReturnTimeMap? map) =>
        map is not { SourceSeconds.Length: > 2 }
            ? null
            : new HeardMap(
                Rounded(map.SourceSeconds, 9),
                Rounded(map.CaptureSeconds, 9),
                Rounded(TakePlots.OffTheLine(map), 5),
                Rounded(map.SigmaMilliseconds, 5)
            );

    private static double[] Rounded(double[] values, int decimals) =>
        [
            .. values.Select(v =>
                Math.Round(double.IsFinite(v) ? Math.Clamp(v, -MostMilliseconds, MostMilliseconds) : MostMilliseconds, decimals)
            ),
        ];
}
