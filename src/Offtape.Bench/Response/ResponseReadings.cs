using Offtape.Base;

namespace Offtape.Bench;

/// <summary>What is said of a channel's response: how far it reaches down and up, and the bump of the head.</summary>
internal static class ResponseReadings
{
    internal const string Method = "synchronised sweep, wobble followed and taken out; means over a third of an octave against 1 kHz";
    private const string Source = "Novak, Lotton and Simon, JAES 63(10), 2015";
    private const double LimitDb = -3;

    // A head's bump lies where the wave on tape is as long as the head's face.
    private const double BumpFromHz = 25;
    private const double BumpToHz = 250;

    // Less than this is no bump to speak of.
    private const double LeastBumpDb = 0.3;

    internal static Findings Of(SweepAnalysis sweeps)
    {
        var (readings, curves) = (new List<Reading>(), new List<ReadingCurve>());
        foreach (var response in Responses(sweeps))
        {
            var condition = SweepAnalysis.Words(response.LevelDb);
            curves.Add(Curve("response", response, condition, response.ThirdsDb, response.ThirdsSigmaDb));
            curves.Add(Curve("responseFine", response, condition, response.FineDb, response.FineSigmaDb));
            readings.AddRange(Readings(response, condition));
        }
        return new Findings { Readings = readings, Curves = curves };
    }

    internal static IEnumerable<Reading> Readings(ChannelResponse response, string condition) =>
        [
            Limit(response, condition, "bassLimit", -1),
            Limit(response, condition, "trebleLimit", 1),
            .. Bump(response, condition),
            Spread(response, condition),
        ];

    internal static IEnumerable<ChannelResponse> Responses(SweepAnalysis sweeps) =>
        from channel in sweeps.Channels
        from level in sweeps.LevelsDb
        let response = sweeps.Response(channel, level)
        where response is not null
        select response;

    private static ReadingCurve Curve(string quantity, ChannelResponse response, string condition, double[] y, double[] sigma) =>
        new()
        {
            Quantity = quantity,
            Channel = response.Channel + 1,
            Condition = condition,
            XUnit = "Hz",
            YUnit = "dB",
            X = response.Hz,
            Y = y,
            Uncertainty = Array.ConvertAll(sigma, s => 2 * s),
            Method = Method,
            Standard = Source,
        };

    private static Reading New(ChannelResponse response, string condition, string quantity, string unit) =>
        new()
        {
            Quantity = quantity,
            Channel = response.Channel + 1,
            Condition = condition,
            Unit = unit,
            Method = Method,
            Standard = Source,
        };

    /// <summary>Going from 1 kHz down or up, the last place before the response stays below −3 dB for good.</summary>
    private static Reading Limit(ChannelResponse response, string condition, string quantity, int direction)
    {
        var reading = New(response, condition, quantity, "Hz");
        var (db, hz) = (response.ThirdsDb, response.Hz);
        var k = BandGrid.Nearest(hz, 1000);
        while (IsHeard(db, k + direction) && db[k + direction] >= LimitDb)
            k += direction;
        if (!IsHeard(db, k + direction))
            return reading.Unknown(
                direction < 0
                    ? $"it does not fall by 3 dB down to {hz[k]:0} Hz, the lowest that the sweep tells"
                    : $"it does not fall by 3 dB up to {hz[k] / 1000:0.0} kHz, the highest that the sweep tells"
            );
        var slope = db[k] - db[k + direction];
        var share = (db[k] - LimitDb) / slope;
        var frequency = hz[k] * Math.Pow(10, direction * share / BandGrid.PerDecade);
        var sigma = Math.Max(response.ThirdsSigmaDb[k], response.ThirdsSigmaDb[k + direction]);
        // As far along the curve as its uncertainty reaches, at the slope of a third of an octave about the place.
        var (a, b) = (k - direction * BandGrid.HalfThird / 2, k + direction * BandGrid.HalfThird / 2);
        var wide = IsHeard(db, a) && IsHeard(db, b) ? Math.Abs(db[a] - db[b]) / BandGrid.HalfThird : slope;
        var steps = sigma / Math.Max(wide, 1e-3);
        return reading with { Value = frequency, Uncertainty = 2 * steps * frequency * Math.Log(10) / BandGrid.PerDecade };
    }

    private static bool IsHeard(double[] db, int k) => k >= 0 && k < db.Length && !double.IsNaN(db[k]);

    private static IEnumerable<Reading> Bump(ChannelResponse response, string condition)
    {
        var (height, frequency) = (New(response, condition, "headBump", "dB"), New(response, condition, "headBumpFrequency", "Hz"));
        var (db, hz) = (response.ThirdsDb, response.Hz);
        var best = -1;
        for (var k = 1; k < hz.Length - 1 && hz[k] <= BumpToHz; k++)
        {
            if (hz[k] >= BumpFromHz && IsHeard(db, k - 1) && db[k] >= db[k - 1] && db[k] >= db[k + 1] && (best < 0 || db[k] > db[best]))
                best = k;
        }
        var sigma = best < 0 ? double.NaN : response.ThirdsSigmaDb[best];
        if (best < 0 || db[best] < Math.Max(LeastBumpDb, 2 * sigma))
        {
            const string none = "nothing between 25 and 250 Hz stands clearly over 1 kHz";
            return [height.Unknown(none), frequency.Unknown(none)];
        }
        var (place, bend) = Top(db, best);
        // The top is where slope and bend meet. The fit spans three half thirds of an octave: ends that are wrong apart tilt it by √2/3 of that for
        // each half third, and what lies between, wrong alike over a third, by about half as much again.
        var steps = 0.75 * sigma / bend / BandGrid.HalfThird;
        var at = hz[best] * Math.Pow(10, place / BandGrid.PerDecade);
        var uncertainty = 2 * steps * at * Math.Log(10) / BandGrid.PerDecade;
        return
        [
            height with
            {
                Value = db[best],
                Uncertainty = 2 * sigma,
            },
            uncertainty < at / 3
                ? frequency with
                {
                    Value = at,
                    Uncertainty = uncertainty,
                }
                : frequency.Unknown("the bump is too flat to have a place"),
        ];
    }

    /// <summary>Top of the parabola that fits the bump best, in steps of the grid from the highest point, and how it is bent, in dB a step squared.</summary>
    private static (double Place, double Bend) Top(double[] db, int best)
    {
        const int reach = BandGrid.HalfThird * 3 / 2;
        var (from, to) = (-Math.Min(reach, best), Math.Min(reach, db.Length - 1 - best));
        while (from < -1 && double.IsNaN(db[best + from]))
            from++;
        while (to > 1 && double.IsNaN(db[best + to]))
            to--;
        // Normal equations of a + b·x + c·x², about the middle of what there is.
        var middle = (from + to) / 2.0;
        var (n, s2, s4, y0, y1, y2) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        for (var i = from; i <= to; i++)
        {
            var (x, y) = (i - middle, db[best + i]);
            if (double.IsNaN(y))
                continue;
            (n, s2, s4) = (n + 1, s2 + x * x, s4 + x * x * x * x);
            (y0, y1, y2) = (y0 + y, y1 + x * y, y2 + x * x * y);
        }
        var bend = Math.Max(1e-4, -2 * (n * y2 - s2 * y0) / (n * s4 - s2 * s2));
        return (Math.Clamp(middle + y1 / s2 / bend, from, to), bend);
    }

    /// <summary>Highest over lowest from 250 Hz to 6.3 kHz: what DIN 45 500 sheet 4 allows 5 dB for.</summary>
    private static Reading Spread(ChannelResponse response, string condition)
    {
        var inside = Enumerable
            .Range(0, response.Hz.Length)
            .Where(k => response.Hz[k] is >= 249 and <= 6320 && !double.IsNaN(response.ThirdsDb[k]))
            .ToArray();
        var reading = New(response, condition, "responseSpread", "dB") with { Standard = "DIN 45 500 sheet 4" };
        if (inside.Length == 0)
            return reading.Unknown("the response is lost in noise from 250 Hz to 6.3 kHz");
        if (inside.Length < inside[^1] - inside[0] + 1 || response.Hz[inside[0]] > 260 || response.Hz[inside[^1]] < 6100)
            return reading.Unknown("a part of it was not heard");
        var highest = inside.MaxBy(k => response.ThirdsDb[k]);
        var lowest = inside.MinBy(k => response.ThirdsDb[k]);
        var found = response.ThirdsDb[highest] - response.ThirdsDb[lowest];
        var chosen = ByChoice(response, inside, highest) + ByChoice(response, inside, lowest);
        return reading with
        {
            Value = Math.Max(0, found - chosen),
            Uncertainty = 2 * double.Hypot(response.ThirdsSigmaDb[highest], response.ThirdsSigmaDb[lowest]),
            Method = Method + "; highest over lowest, without what noise adds by choosing them",
        };
    }

    /// <summary>
    /// How far beyond the truth the highest or lowest of several places lies because it was chosen for being so: the mean of the greatest of so
    /// many normal values as there are thirds of an octave about as far out (G. Blom's approximation, 1958).
    /// </summary>
    private static double ByChoice(ChannelResponse response, int[] inside, int chosen)
    {
        var sigma = response.ThirdsSigmaDb[chosen];
        var rivals = inside.Count(k => Math.Abs(response.ThirdsDb[k] - response.ThirdsDb[chosen]) < 2 * sigma);
        var count = Math.Max(1, rivals / (2.0 * BandGrid.HalfThird));
        return sigma * UpperQuantile((count - 0.375) / (count + 0.25));
    }

    /// <summary>Of the normal distribution, for shares of a half and more, good to 0.003 (Abramowitz and Stegun 26.2.22).</summary>
    private static double UpperQuantile(double share)
    {
        var t = Math.Sqrt(-2 * Math.Log(1 - share));
        return Math.Max(0, t - (2.30753 + 0.27061 * t) / (1 + 0.99229 * t + 0.04481 * t * t));
    }
}
