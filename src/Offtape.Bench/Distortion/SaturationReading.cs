using Offtape.Base;

namespace Offtape.Bench;

/// <summary>How loud the treble can come out at all: the output at which more record level gives no more.</summary>
internal static class SaturationReading
{
    // A decibel more is no more.
    private const double FlatSlope = 0.02;

    // Steeper than this, or bending too little, and the steps end too soon to say where it will.
    private const double LargestSlope = 0.35;
    private const double LargestShrink = 0.8;
    private const double LargestLeftDb = 1.5;

    // Half of what is left to come, and as much beside.
    private static readonly double SeriesShare = double.Hypot(0.5, 0.5);

    // A cubic over steps of two decibels where the curve folds: 0.04 dB was seen at a fold sharper than tape's.
    private const double CurveSigmaDb = 0.02;

    internal static Reading Of(StairsReading stairs)
    {
        var reading = StairsReadings.New(stairs, StairsReadings.Tone(stairs.FrequencyHz), "saturationOutputLevel", "dB") with
        {
            Method = "staircase of a treble tone; the most that comes out, against a tone at operating level",
            Standard = "IEC 60094-5",
        };
        var (sent, output) = (stairs.SentDb, stairs.OutputDb);
        var last = output.Length - 1;
        // Where it first turns down by more than it may by chance; what comes behind that is no tape.
        var top = Enumerable
            .Range(0, last)
            .FirstOrDefault(
                i =>
                    output[i] - output[i + 1] > 3 * double.Hypot(stairs.OutputSigmaDb[i], stairs.OutputSigmaDb[i + 1])
                    && output[i] > output[0],
                last
            );
        if (top > 0 && top < last)
        {
            // Far behind the fold a curve may fall to nothing: only the step next to it is drawn through.
            var (upTo, heard) = (sent[..(top + 2)], output[..(top + 2)]);
            var best = double.NegativeInfinity;
            for (var x = sent[top - 1]; x <= sent[top + 1]; x += 0.02)
                best = Math.Max(best, LevelCurve.At(upTo, heard, x));
            return reading with { Value = best, Uncertainty = 2 * double.Hypot(stairs.OutputSigmaDb[top], CurveSigmaDb) };
        }
        if (last < 2)
            return reading.Unknown("there are too few steps");
        var step = sent[last] - sent[last - 1];
        var slope = (output[last] - output[last - 1]) / step;
        var before = (output[last - 1] - output[last - 2]) / (sent[last - 1] - sent[last - 2]);
        // A tape that fills up rises less with each step, in about the same proportion: what is left of the rise is the sum of that series.
        var shrinks = slope / before;
        var isFlat = slope < FlatSlope;
        var left = isFlat ? Math.Max(0, slope) * step : slope * step * shrinks / (1 - shrinks);
        if (!isFlat && !(slope < LargestSlope && before > 0 && shrinks < LargestShrink && left < LargestLeftDb))
            return reading.Unknown(
                $"it still rises by {Words.Number(slope, 2)} dB for each decibel at the loudest step: more than {Words.Signed(output[last], 1)} dB"
            );
        // Between here, where it may turn at once, and the end of the series; the series itself is known to half of what it adds.
        return reading with
        {
            Value = output[last] + left / 2,
            Uncertainty = double.Hypot(2 * double.Hypot(stairs.OutputSigmaDb[last], CurveSigmaDb), SeriesShare * left),
            Method = reading.Method + "; the loudest step and half of what the steps before it leave to come",
        };
    }
}
