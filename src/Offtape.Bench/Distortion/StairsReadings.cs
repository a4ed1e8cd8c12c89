using Offtape.Base;

namespace Offtape.Bench;

/// <summary>What is said of a staircase in the middle of the band: harmonics against level, how loud the tape may be hit, and what comes out then.</summary>
internal static class StairsReadings
{
    internal const string Method = "staircase of a tone; fundamental and harmonics followed through the wobble";
    private const double MaximumRatio = 0.03;

    // Left over by the cubic between steps of two decibels.
    private const double CurveSigmaDb = 0.0005;

    // Output of a sound under, at and over operating level.
    private static readonly double[] OutputsDb = [-10, 0, 6];

    // Of a soft sound, where the tape is straight, compression is told from here.
    private const double StraightDb = -18;
    private static readonly string[] HarmonicNames = ["secondHarmonic", "thirdHarmonic", "fourthHarmonic", "fifthHarmonic"];

    internal static Findings Of(StairsReading stairs)
    {
        var tone = Tone(stairs.FrequencyHz);
        var readings = new List<Reading> { Maximum(stairs, tone) };
        foreach (var output in OutputsDb)
            readings.AddRange(AtOutput(stairs, tone, output));
        readings.AddRange(AtOperatingLevel(stairs, tone));
        readings.Add(Compression(stairs, tone));
        return new Findings { Readings = readings, Curves = [.. Curves(stairs, tone)] };
    }

    /// <summary>A frequency as conditions have it.</summary>
    internal static string Tone(double frequencyHz) =>
        frequencyHz < 1000 ? $"{Words.Number(frequencyHz, 0)} Hz" : $"{frequencyHz / 1000:0.###} kHz";

    internal static Reading New(StairsReading stairs, string condition, string quantity, string unit) =>
        new()
        {
            Quantity = quantity,
            Channel = stairs.Channel + 1,
            Condition = condition,
            Unit = unit,
            Method = Method,
        };

    // Output level at which the third harmonic is 3 % of the fundamental.
    private static Reading Maximum(StairsReading stairs, string tone)
    {
        var reading = New(stairs, tone, "maximumOutputLevel", "dB") with
        {
            Standard = "3 % third harmonic (IEC 60094-5; DIN 45 500 sheet 4)",
        };
        var clear = Clear(stairs, 3);
        if (clear.Length < 3)
            return reading.Unknown("the third harmonic is lost in noise at all but the loudest steps");
        var (sent, output) = (Pick(stairs.SentDb, clear), Pick(stairs.OutputDb, clear));
        var ratio = clear.Select(i => Math.Log(stairs.Steps[i].Ratio(3))).ToArray();
        var last = 100 * stairs.Steps[^1].Ratio(3);
        if (ratio[0] >= Math.Log(MaximumRatio))
            return reading.Unknown(
                $"the third harmonic is over 3 % at all steps where it is heard, from {Words.Signed(output[0], 1)} dB on"
            );
        if (LevelCurve.Rises(sent, ratio, Math.Log(MaximumRatio)) is not { } at)
            return reading.Unknown(
                $"the third harmonic is {Words.Number(last, 1)} % at the loudest step, which comes out at {Words.Signed(stairs.OutputDb[^1], 1)} dB"
            );
        var nearest = clear.MinBy(i => Math.Abs(stairs.SentDb[i] - at));
        var step = stairs.Steps[nearest];
        // How far along the output a wrong third harmonic moves the crossing.
        var slope = LevelCurve.SlopeAt(sent, ratio, at) / LevelCurve.SlopeAt(sent, output, at);
        var sigma = double.Hypot(step.RatioSigma(3) / step.Ratio(3) / slope, double.Hypot(stairs.OutputSigmaDb[nearest], CurveSigmaDb));
        return reading with { Value = LevelCurve.At(sent, output, at), Uncertainty = 2 * sigma };
    }

    /// <summary>What has to be sent for a sound to come out at a level, and its distortion there.</summary>
    private static Reading[] AtOutput(StairsReading stairs, string tone, double outputDb)
    {
        var condition = $"{tone}, {SweepAnalysis.Words(outputDb)} out";
        var (send, distortion) = (New(stairs, condition, "sendLevel", "dB"), New(stairs, condition, "totalDistortion", "%"));
        if (LevelCurve.Rises(stairs.SentDb, stairs.OutputDb, outputDb) is not { } at)
        {
            var reason = $"the steps come out from {Words.Signed(stairs.OutputDb[0], 1)} to {Words.Signed(stairs.OutputDb.Max(), 1)} dB";
            return [send.Unknown(reason), distortion.Unknown(reason)];
        }
        var nearest = Enumerable.Range(0, stairs.SentDb.Length).MinBy(i => Math.Abs(stairs.SentDb[i] - at));
        var slope = Math.Max(0.05, LevelCurve.SlopeAt(stairs.SentDb, stairs.OutputDb, at));
        var sigma = double.Hypot(stairs.OutputSigmaDb[nearest], CurveSigmaDb) / slope;
        var total = LevelCurve.At(stairs.SentDb, [.. stairs.Steps.Select(s => s.Total)], at);
        var totalSigma = TotalSigma(stairs.Steps[nearest]);
        return
        [
            send with
            {
                Value = at,
                Uncertainty = 2 * sigma,
            },
            total > 3 * totalSigma
                ? distortion with
                {
                    Value = 100 * total,
                    Uncertainty = 200 * totalSigma,
                }
                : distortion.Hidden(100 * (Math.Max(total, 0) + 2 * totalSigma), "it is lost in noise"),
        ];
    }

    private static IEnumerable<Reading> AtOperatingLevel(StairsReading stairs, string tone)
    {
        var zero = Array.IndexOf(stairs.SentDb, 0.0);
        if (zero < 0)
            yield break;
        var step = stairs.Steps[zero];
        var condition = $"{tone}, 0 dB";
        for (var order = 2; order <= ToneReading.HarmonicCount; order++)
        {
            var reading = New(stairs, condition, HarmonicNames[order - 2], "%");
            var (value, sigma) = (100 * step.Ratio(order), 100 * step.RatioSigma(order));
            yield return step.IsClear(order)
                ? reading with
                {
                    Value = value,
                    Uncertainty = 100 * step.ClearExpanded(order),
                }
                : reading.Hidden(value + 2 * sigma, "it is lost in noise");
        }
        yield return Asymmetry(New(stairs, condition, "asymmetry", "dB"), step);
    }

    /// <summary>How much farther the wave reaches up than down, from fundamental and the harmonics that stand clear of the noise.</summary>
    private static Reading Asymmetry(Reading reading, ToneReading step)
    {
        const int points = 512;
        var (up, down) = (0.0, 0.0);
        for (var i = 0; i < points; i++)
        {
            var value = 0.0;
            for (var n = 1; n <= ToneReading.HarmonicCount; n++)
            {
                if (n > 1 && !step.IsClear(n))
                    continue;
                var (s, c) = Math.SinCos(2 * Math.PI * n * i / points);
                value += step.Harmonics[n - 1].Real * s + step.Harmonics[n - 1].Imaginary * c;
            }
            (up, down) = (Math.Max(up, value), Math.Max(down, -value));
        }
        // Each even harmonic lifts one side and lowers the other: twice its share, 8.686 dB for each unit.
        var sigma = 8.686 * 2 * double.Hypot(step.RatioSigma(2), step.RatioSigma(4));
        return reading with
        {
            Value = Conversions.AmplitudeToDb(up / down),
            Uncertainty = 2 * sigma,
            Method = Method + "; peak up against peak down, as the even harmonics make them",
        };
    }

    private static Reading Compression(StairsReading stairs, string tone)
    {
        var reading = New(stairs, $"{tone}, +6 dB", "compression", "dB") with
        {
            Method = Method + $"; gain at {SweepAnalysis.Words(StraightDb)} less gain at +6 dB",
        };
        if (stairs.SentDb[0] > StraightDb || stairs.SentDb[^1] < 6)
            return reading.Unknown("the steps do not reach so far");
        var gain = stairs.OutputDb.Zip(stairs.SentDb, (o, s) => o - s).ToArray();
        var (soft, loud) = (Nearest(stairs, StraightDb), Nearest(stairs, 6));
        return reading with
        {
            Value = LevelCurve.At(stairs.SentDb, gain, StraightDb) - LevelCurve.At(stairs.SentDb, gain, 6),
            Uncertainty = 2 * double.Hypot(stairs.OutputSigmaDb[soft], stairs.OutputSigmaDb[loud]),
        };
    }

    private static IEnumerable<ReadingCurve> Curves(StairsReading stairs, string tone)
    {
        yield return OutputCurve(stairs);
        for (var order = 2; order <= ToneReading.HarmonicCount; order++)
        {
            yield return Curve(
                stairs,
                tone,
                HarmonicNames[order - 2],
                "%",
                [.. stairs.Steps.Select(s => s.IsClear(order) ? 100 * s.Ratio(order) : double.NaN)],
                [.. stairs.Steps.Select(s => s.IsClear(order) ? 100 * s.ClearExpanded(order) : 200 * s.RatioSigma(order))]
            );
        }
    }

    internal static ReadingCurve OutputCurve(StairsReading stairs) =>
        Curve(stairs, Tone(stairs.FrequencyHz), "outputLevel", "dB", stairs.OutputDb, Array.ConvertAll(stairs.OutputSigmaDb, s => 2 * s));

    private static ReadingCurve Curve(StairsReading stairs, string tone, string quantity, string unit, double[] y, double[] uncertainty) =>
        new()
        {
            Quantity = quantity,
            Channel = stairs.Channel + 1,
            Condition = tone,
            XUnit = "dB",
            YUnit = unit,
            X = stairs.SentDb,
            Y = y,
            Uncertainty = uncertainty,
            Method = Method + "; against the level sent, operating level being 0 dB",
        };

    // Of a root of a sum of squares: each harmonic by its share.
    private static double TotalSigma(ToneReading step) =>
        Math.Sqrt(
            Enumerable
                .Range(2, ToneReading.HarmonicCount - 1)
                .Sum(n => Math.Pow(step.RatioSigma(n) * Math.Max(step.Ratio(n), step.RatioSigma(n)) / Math.Max(step.Total, 1e-9), 2))
        );

    private static int Nearest(StairsReading stairs, double sentDb) =>
        Enumerable.Range(0, stairs.SentDb.Length).MinBy(i => Math.Abs(stairs.SentDb[i] - sentDb));

    private static int[] Clear(StairsReading stairs, int order) =>
        [.. Enumerable.Range(0, stairs.Steps.Length).Where(i => stairs.Steps[i].IsClear(order))];

    private static double[] Pick(double[] values, int[] places) => Array.ConvertAll(places, i => values[i]);
}
