using Offtape.Base;

namespace Offtape.Bench;

/// <summary>How loud the treble can come out at all: the output at which more record level gives no more.</summary>
internal static class SaturationReading
{
    // Below this rise a decibel more is taken for no more.
    private const double FlatSlope = 0.1;

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
        var top = Enumerable.Range(0, output.Length).MaxBy(i => output[i]);
        var last = output.Length - 1;
        if (top > 0 && top < last)
        {
            var best = double.NegativeInfinity;
            for (var x = sent[top - 1]; x <= sent[top + 1]; x += 0.02)
                best = Math.Max(best, LevelCurve.At(sent, output, x));
            return reading with { Value = best, Uncertainty = 2 * double.Hypot(stairs.OutputSigmaDb[top], CurveSigmaDb) };
        }
        if (last < 1)
            return reading.Unknown("there are too few steps");
        var slope = (output[last] - output[last - 1]) / (sent[last] - sent[last - 1]);
        if (slope > FlatSlope)
            return reading.Unknown(
                $"it still rises by {Words.Number(slope, 2)} dB for each decibel at the loudest step: more than {Words.Signed(output[last], 1)} dB"
            );
        // It may go on rising as it does for a few decibels more.
        return reading with { Value = output[last], Uncertainty = 2 * double.Hypot(stairs.OutputSigmaDb[last], CurveSigmaDb) + 3 * slope };
    }
}
