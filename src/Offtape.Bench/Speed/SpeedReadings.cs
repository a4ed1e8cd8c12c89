using Offtape.Base;
using Offtape.Tape;

namespace Offtape.Bench;

/// <summary>
/// What a measured tone says of the machine, by how its recording came about. Every figure is that of the measured stretch: what the machine
/// does at another time or place of the tape differs by its random part, and only repeating tells by how much.
/// </summary>
internal static class SpeedReadings
{
    /// <summary>How far off the clocks of audio interfaces usually are at most (common practice, no source).</summary>
    internal const double ClockPercent = 0.005;

    private const string Standard = "AES6-2008, IEC 60386";

    private const string OwnTape =
        "not known from a tape that the machine recorded itself: its mean speed cancels. Play a tape of known tone that another machine recorded";

    private const string Combed =
        "not known off tape: both heads ride on one tape, and what wobbles slowly against the way between them cancels. "
        + "Record, rewind and replay instead";

    // Time from head to head: their distance, taken as known within 2 %, over a tape speed known by its name.
    private static readonly double CombExpandedShare = double.Hypot(0.02, NominalSpeed.ExpandedShare);

    // The window about a line and the filters before it: measured with tones of known modulation and on simulated machines.
    private const double LineShare = 1e-4;

    private static readonly (string Quantity, string Method)[] FigureNames =
    [
        ("weightedTwoSigma", "weighted; not exceeded for 95 % of the stretch"),
        ("weightedPeak", "weighted, quasi-peak: the older readout, deprecated, for old data sheets; the highest of the stretch"),
        ("weightedRms", "weighted, root mean square of the stretch"),
        ("unweightedPeak", "the largest deviation of the stretch"),
        ("unweightedRms", "root mean square of the stretch"),
    ];

    /// <summary>What is read of a speed tone, whether or not it can be had.</summary>
    internal static IEnumerable<string> Names(HowTaken how) =>
        [
            .. how == HowTaken.Rewound ? new[] { "speedDifference", "drift" } : ["speedError", "drift"],
            .. FigureNames.Select(f => f.Quantity),
        ];

    internal static IEnumerable<Reading> Speed(ToneMeasurement m, HowTaken how, double? nominalHz)
    {
        var seconds = Words.Number(m.MeanSeconds, 0);
        var clock = how == HowTaken.ForeignTape ? ClockPercent : 0;
        var uncertainty = Math.Sqrt(4 * m.MeanSigmaPercent * m.MeanSigmaPercent + clock * clock);
        var hz = new Reading
        {
            Quantity = "meanFrequency",
            Unit = "Hz",
            Method = $"turns of the tone over {seconds} s; the interface's clock counts as ±50 ppm",
            Standard = "IEC 60386, clause 3",
            Value = m.MeanHz,
            Uncertainty = uncertainty / 100 * m.MeanHz,
        };
        var error = new Reading
        {
            Quantity = "speedError",
            Unit = "%",
            Method = $"mean over {seconds} s against the tone on the tape; the interface's clock counts as ±50 ppm",
            Standard = "DIN 45 500 sheet 4",
            Value = nominalHz is { } n ? (m.MeanHz / n - 1) * 100 : null,
            Uncertainty = nominalHz is null ? null : uncertainty,
            Reason = nominalHz is null ? "what frequency was recorded is not known" : null,
        };
        var difference = error with
        {
            Quantity = "speedDifference",
            Method = $"mean over {seconds} s of replay against recording; one clock counts both",
        };
        var drift = new Reading
        {
            Quantity = "drift",
            Unit = "%",
            Method =
                $"rise of a straight line over {Words.Number(m.Curve.LengthSeconds, 0)} s"
                + (how == HowTaken.Rewound ? ", replay against recording" : ""),
            Value = m.DriftPercent,
            Uncertainty = 2 * m.DriftSigmaPercent,
        };
        return how switch
        {
            HowTaken.ForeignTape => [hz, error, drift],
            HowTaken.Rewound => [hz.Unknown(OwnTape), error.Unknown(OwnTape), difference, drift],
            _ =>
            [
                hz.Unknown(OwnTape),
                error.Unknown(OwnTape),
                difference.Unknown("off tape there is one run, and nothing to compare it with"),
                drift.Unknown(Combed),
            ],
        };
    }

    /// <summary>The five figures; off tape once as heard and once as not known.</summary>
    internal static IEnumerable<Reading> Figures(ToneMeasurement m, HowTaken how, WobbleComb? comb)
    {
        var readings = new List<Reading>();
        var band = $"0.2 to {Words.Number(m.Curve.BandHz, 0)} Hz, ";
        var runs = how == HowTaken.Rewound ? ", recording and replay together" : "";
        for (var k = 0; k < FigureNames.Length; k++)
        {
            var reading = new Reading
            {
                Quantity = FigureNames[k].Quantity,
                Unit = "%",
                Method =
                    (k < 3 ? "" : band)
                    + FigureNames[k].Method
                    + runs
                    + "; what noise adds is taken off"
                    + (k < 3 ? "; the curve is within 0.3 dB of the standard's table" : ""),
                Standard = k < 3 ? Standard : "IEC 60386 Amendment 1",
                Value = double.IsFinite(m.Figures[k]) ? m.Figures[k] : null,
                Uncertainty = double.IsFinite(m.Figures[k]) ? 2 * m.FigureSigmas[k] : null,
                Reason = double.IsFinite(m.Figures[k]) ? null : "no second of the tone is free of dropouts and clicks",
            };
            if (how == HowTaken.OffTape)
            {
                readings.Add(reading.Unknown(Combed));
                reading = reading with { Condition = "as heard off tape" };
            }
            readings.Add(reading);
        }
        if (how == HowTaken.OffTape)
            readings.Add(Undone(m, comb));
        return readings;
    }

    // What can be undone is read by its power: percentiles do not add up over bands.
    private static Reading Undone(ToneMeasurement m, WobbleComb? comb)
    {
        var reading = new Reading
        {
            Quantity = "weightedRms",
            Unit = "%",
            Condition = "comb undone",
            Method = "",
            Standard = Standard,
        };
        if (comb is not { } c)
            return reading with
            {
                Method = "weighted, root mean square",
                Reason = "the way from head to head or the tape speed is not known",
            };
        double Gain(double hz) => Math.Pow(10, WowFlutterWeighting.GainDbAt(Math.Max(hz, 1e-3)) / 10);
        double Factor(double hz) => Gain(hz) * Math.Pow(c.Undo(hz), 2);
        var power = m.Spectrum.PowerBetween(c.LowestHz, m.Curve.BandHz, Factor);
        var noise = 0.0;
        for (var k = (int)(c.LowestHz / m.Spectrum.BinHz); k * m.Spectrum.BinHz < m.Curve.BandHz; k++)
        {
            var factor = Factor(k * m.Spectrum.BinHz);
            noise += double.IsFinite(factor) ? factor * m.NoiseDensityAt(k * m.Spectrum.BinHz) * m.Spectrum.BinHz : 0;
        }
        var rms = Math.Sqrt(Math.Max(0, power - noise));
        var sigma = Math.Sqrt(Math.Pow(0.02 * rms, 2) + Math.Pow(0.3 * (Math.Sqrt(power) - rms), 2));
        return reading with
        {
            Value = rms,
            Uncertainty = 2 * sigma,
            Method =
                $"weighted, root mean square from {Words.Number(c.LowestHz, 2)} Hz up, each frequency divided by what the heads' distance "
                + "makes of it, those left out where that is below 0.3: at least so much",
        };
    }

    /// <summary>The strongest lines; off tape with the comb undone.</summary>
    internal static IEnumerable<Reading> Lines(ToneMeasurement m, HowTaken how, WobbleComb? comb, int most)
    {
        foreach (var heard in Told(m, most))
        {
            var line = heard.Line;
            var reading = new Reading
            {
                Quantity = "speedLine",
                Unit = "%",
                Condition = $"{Frequency(line.FrequencyHz)} Hz",
                Method = "peak of one line of the spectrum of speed, unweighted" + (how == HowTaken.Rewound ? ", both runs together" : ""),
                Value = line.PeakPercent,
                Uncertainty = 2 * Math.Sqrt(Math.Pow(heard.SigmaPercent, 2) + Math.Pow(LineShare * line.PeakPercent, 2)),
            };
            yield return how != HowTaken.OffTape ? reading : Undone(reading, line.FrequencyHz, comb);
        }
    }

    /// <summary>
    /// The strongest lines that are speed, each with a frequency of its own in words: two runs at slightly different speeds give one part
    /// twice, and the weaker of the two would be told apart by nothing.
    /// </summary>
    internal static IEnumerable<HeardLine> Told(ToneMeasurement m, int most) =>
        m.Lines.Where(l => !l.IsSound).DistinctBy(l => Frequency(l.Line.FrequencyHz)).Take(most);

    private static Reading Undone(Reading reading, double hz, WobbleComb? comb)
    {
        if (comb is not { } c)
            return reading.Unknown("off tape the heads' distance combs the wobble; it or the tape speed is not known");
        var undo = c.Undo(hz);
        if (!double.IsFinite(undo))
            return reading.Unknown("off tape this frequency all but cancels between the heads");
        if (!IsSafe(c, hz))
            return reading.Unknown(
                "off tape the heads' distance would have to be known better than within 2 %, and the tape speed than within 1.5 %, to undo this frequency"
            );
        // How far the comb moves, of a way between the heads whose time is known within so much.
        var x = Math.PI * hz * c.DelaySeconds;
        var moved = Math.Abs(x / Math.Tan(x)) * CombExpandedShare;
        var value = reading.Value!.Value * undo;
        return reading with
        {
            Value = value,
            Uncertainty = double.Hypot(reading.Uncertainty!.Value * undo, moved * value),
            Method =
                reading.Method
                + ", divided by what the heads' distance (taken as known within 2 %, and the tape speed within 1.5 %) makes of it",
        };
    }

    // A null of the comb within what distance and speed may be off by.
    private static bool IsSafe(WobbleComb comb, double hz)
    {
        const int steps = 5;
        for (var k = -steps; k <= steps; k++)
            if (!new WobbleComb(comb.DelaySeconds * (1 + CombExpandedShare * k / steps)).Holds(hz))
                return false;
        return true;
    }

    internal static string Frequency(double hz) =>
        Words.Number(
            hz,
            hz < 1 ? 2
                : hz < 30 ? 1
                : 0
        );
}
