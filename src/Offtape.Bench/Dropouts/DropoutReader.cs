using Offtape.Base;

namespace Offtape.Bench;

/// <summary>
/// Dropouts per minute by depth and length, from every steady tone of the signal. The classes are common practice, no source; a length is the
/// width at half of the depth in dB.
/// </summary>
public static class DropoutReader
{
    // Wide enough for a dropout of 5 ms, narrow enough to keep out hiss.
    private const double HalfWidthHz = 250;
    private const double ShareOfTone = 0.6;
    private const double ShortestToneSeconds = 2;

    private static readonly (double FromDb, double ToDb, string Words)[] Depths =
    [
        (3, 6, "3 to 6 dB"),
        (6, 12, "6 to 12 dB"),
        (12, double.PositiveInfinity, "12 dB and deeper"),
    ];

    private static readonly (double FromMs, double ToMs, string Words)[] Lengths =
    [
        (0, 10, "shorter than 10 ms"),
        (10, 30, "10 to 30 ms"),
        (30, double.PositiveInfinity, "30 ms and longer"),
    ];

    public static Findings Read(BenchCapture capture, MachineFacts facts, CancellationToken cancellation)
    {
        BenchPart[] parts =
        [
            .. capture
                .Of(BenchPartKind.SpeedTone)
                .Concat(capture.Of(BenchPartKind.LevelTone))
                .Where(p => p.LengthSeconds >= ShortestToneSeconds)
                .OrderBy(p => p.StartSeconds),
        ];
        var findings = Findings.None;
        for (var channel = 0; channel < capture.ChannelCount; channel++)
        {
            var (dropouts, seconds) = (new List<Dropout>(), 0.0);
            foreach (var part in parts.Where(p => p.Channels.Contains(channel + 1)))
            {
                cancellation.ThrowIfCancellationRequested();
                if (HeardTone.Of(capture, channel, part, Math.Min(HalfWidthHz, ShareOfTone * part.FrequencyHz!.Value)) is not { } tone)
                    continue;
                dropouts.AddRange(DropoutFinder.Find(tone));
                seconds += tone.Seconds;
            }
            findings += Stated(capture, channel, dropouts, seconds);
        }
        return findings;
    }

    private static Findings Stated(BenchCapture capture, int channel, List<Dropout> dropouts, double seconds)
    {
        var readings = new List<Reading> { Rate("3 dB and deeper", dropouts) };
        readings.AddRange(Depths.Select(d => Rate(d.Words, dropouts.Where(o => o.DepthDb >= d.FromDb && o.DepthDb < d.ToDb))));
        readings.AddRange(
            Lengths.Select(l => Rate(l.Words, dropouts.Where(o => o.LengthMilliseconds >= l.FromMs && o.LengthMilliseconds < l.ToMs)))
        );
        var list = new ReadingCurve
        {
            Quantity = "dropouts",
            Channel = channel + 1,
            XUnit = "s",
            YUnit = "dB",
            X = [.. dropouts.Select(d => d.SendSeconds)],
            Y = [.. dropouts.Select(d => d.DepthDb)],
            Method = "Depth of each dropout in the steady tones, against seconds of the send",
        };
        return new Findings { Readings = readings, Curves = dropouts.Count == 0 ? [] : [list] };

        Reading Rate(string condition, IEnumerable<Dropout> some)
        {
            var reading = new Reading
            {
                Quantity = "dropoutsPerMinute",
                Channel = channel + 1,
                Condition = condition,
                Unit = "/min",
                Method =
                    $"Counted in {Words.Duration(seconds)} of steady tone; length at half of the depth in dB; classes are common practice",
                Standard = "",
            };
            if (seconds == 0)
                return reading.Unknown($"No steady tone of two seconds or more was heard: {capture.WhyNot("speed-3150")}");
            var count = some.Count();
            return reading with { Value = 60 * count / seconds, Uncertainty = 60 * PoissonReach(count) / seconds };
        }
    }

    /// <summary>
    /// How far the mean of a Poisson process may lie from one count of it, 95 %: the farther end of the exact interval (F. Garwood, Biometrika
    /// 28, 1936), by the chi-square approximation of Wilson and Hilferty (PNAS 17, 1931).
    /// </summary>
    private static double PoissonReach(int count)
    {
        const double z = 1.959964;
        double upper = count + 1;
        return upper * Math.Pow(1 - 1 / (9 * upper) + z / (3 * Math.Sqrt(upper)), 3) - count;
    }
}
