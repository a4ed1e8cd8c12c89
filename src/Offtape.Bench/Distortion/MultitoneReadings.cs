using Offtape.Base;

namespace Offtape.Bench;

/// <summary>What is said of multitones: what their tones make of each other, and the response they show, as a second opinion.</summary>
internal static class MultitoneReadings
{
    private const string Method = "multitone, wobble followed and taken out; lines where no tone is against the tones";

    internal static Findings Of(MultitoneReading multitone)
    {
        var condition = SweepAnalysis.Words(multitone.Part.LevelDb);
        var products = New(multitone, condition, "intermodulation");
        var all = New(multitone, condition, "intermodulationAndNoise");
        var (power, sigma) = (multitone.ProductPower, multitone.ProductSigma);
        if (!(multitone.TonePower > multitone.OtherPower))
        {
            const string lost = "the tones are lost in noise";
            return new Findings { Readings = [products.Unknown(lost), all.Unknown(lost)] };
        }
        double Percent(double value) => 100 * Math.Sqrt(Math.Max(0, value) / multitone.TonePower);
        return new Findings
        {
            Readings =
            [
                power > 3 * sigma
                    ? products with
                    {
                        Value = Percent(power),
                        Uncertainty = Percent(power) * sigma / power,
                    }
                    : products.Hidden(Percent(Math.Max(power, 0) + 2 * sigma), "it is lost in noise"),
                all with
                {
                    Value = Percent(multitone.OtherPower),
                    Uncertainty = Percent(multitone.OtherPower) * 0.03,
                },
            ],
            Curves = [Response(multitone, condition)],
        };
    }

    private static Reading New(MultitoneReading multitone, string condition, string quantity) =>
        new()
        {
            Quantity = quantity,
            Channel = multitone.Channel + 1,
            Condition = condition,
            Unit = "%",
            Method = Method,
        };

    private static ReadingCurve Response(MultitoneReading multitone, string condition)
    {
        var tones = multitone.Part.TonesHz;
        var reference = Enumerable.Range(0, tones.Count).MinBy(t => Math.Abs(Math.Log(tones[t] / 1000)));
        var db = multitone.Gains.Select(
            (g, t) => g > 3 * multitone.GainSigmas[t] ? Conversions.AmplitudeToDb(g / multitone.Gains[reference]) : double.NaN
        );
        return new ReadingCurve
        {
            Quantity = "multitoneResponse",
            Channel = multitone.Channel + 1,
            Condition = condition,
            XUnit = "Hz",
            YUnit = "dB",
            X = [.. tones],
            Y = [.. db],
            Uncertainty = [.. multitone.Gains.Select((g, t) => 2 * 8.686 * multitone.GainSigmas[t] / g)],
            Method = "tones of a multitone, wobble followed and taken out, against the one nearest to 1 kHz",
        };
    }
}
