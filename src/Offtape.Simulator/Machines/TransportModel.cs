namespace Offtape.Simulator;

/// <summary>A turning part that makes speed go up and down.</summary>
/// <param name="FrequencyHz">Turns in a second at nominal speed.</param>
/// <param name="Share">Its root mean square against the other parts.</param>
/// <param name="HarmonicCount">How many multiples of the frequency it makes, itself counted.</param>
public sealed record WobbleLine(double FrequencyHz, double Share, int HarmonicCount)
{
    /// <summary>The line of a part that the tape drives or that drives the tape by its rim.</summary>
    public static WobbleLine OfRoller(double speedCmPerSecond, double diameterMm, double share, int harmonicCount) =>
        new(speedCmPerSecond * 10 / (Math.PI * diameterMm), share, harmonicCount);
}

/// <summary>How the tape moves.</summary>
public sealed record TransportModel
{
    /// <summary>
    /// Weighted two-sigma wow and flutter in per cent of what is heard in the capture, both runs of tape together, as AES6-2008 would read it
    /// from a tone recorded and replayed in the same way. The shares below are scaled until the figure is met; 0 is a perfect transport.
    /// </summary>
    public double WowFlutterPercent { get; init; }

    public IReadOnlyList<WobbleLine> Lines { get; init; } = [];

    /// <summary>Root mean square of the random part, whose power falls as 1/f from 0.06 to 16 Hz.</summary>
    public double RandomShare { get; init; }

    /// <summary>Root mean square of the band of flutter noise.</summary>
    public double FlutterNoiseShare { get; init; }

    /// <summary>Centre of the flutter noise, up to 100 Hz.</summary>
    public double FlutterNoiseHz { get; init; } = 60;

    /// <summary>Root mean square of the slow change of speed in per cent of each run; outside the wow and flutter figure.</summary>
    public double DriftPercent { get; init; }

    /// <summary>How far the mean speed of replay is off that of recording, in per cent; the sign is drawn. Nothing off tape.</summary>
    public double RunToRunSpeedPercent { get; init; }

    /// <summary>Distance from the record head to the replay head along the tape, in millimetres; used off tape.</summary>
    public double HeadDistanceMm { get; init; } = 50.8;
}
