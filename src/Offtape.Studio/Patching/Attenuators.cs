using Offtape.Base;

namespace Offtape.Studio;

/// <summary>An attenuator of two resistors, or a single one in line, with what it really does.</summary>
/// <param name="SeriesOhms">In line with the sound.</param>
/// <param name="ShuntOhms">Across the input; null where there is none.</param>
/// <param name="AttenuationDb">What it takes off, with the source and the load that are there.</param>
public sealed record Attenuator(double SeriesOhms, double? ShuntOhms, double AttenuationDb)
{
    /// <summary>The source and load it was worked out for.</summary>
    public required double SourceOhms { get; init; }

    public required double LoadOhms { get; init; }

    /// <summary>Where cable behind it takes the treble off, 3 dB down: 1 ÷ (2π·R·C).</summary>
    public double CornerHz(double cableFarads)
    {
        var from = SourceOhms + SeriesOhms;
        var to = ShuntOhms is { } shunt ? Parallel(shunt, LoadOhms) : LoadOhms;
        return 1 / (2 * Math.PI * Parallel(from, to) * cableFarads);
    }

    internal static double Parallel(double a, double b) => a * b / (a + b);
}

/// <summary>Works out attenuators, in resistors that can be bought.</summary>
public static class Attenuators
{
    /// <summary>The E24 series of IEC 60063.</summary>
    private static readonly double[] E24 =
    [
        1.0,
        1.1,
        1.2,
        1.3,
        1.5,
        1.6,
        1.8,
        2.0,
        2.2,
        2.4,
        2.7,
        3.0,
        3.3,
        3.6,
        3.9,
        4.3,
        4.7,
        5.1,
        5.6,
        6.2,
        6.8,
        7.5,
        8.2,
        9.1,
    ];

    // What the output sees: enough not to load a line output.
    private const double SeriesForLine = 10_000;

    /// <summary>The value of the series nearest by ratio.</summary>
    public static double NearestE24(double ohms)
    {
        var decade = Math.Pow(10, Math.Floor(Math.Log10(ohms)));
        return E24.Append(10).Select(v => v * decade).MinBy(v => Math.Abs(Math.Log(v / ohms)));
    }

    /// <summary>
    /// Two resistors, in line and across: x = 10^(−dB ÷ 20) of what the output gives open; shunt and load together = (series + source)·x ÷ (1 − x).
    /// The divider stays so far under the cable's capacitance that the treble is kept.
    /// </summary>
    /// <returns>Null where the load itself takes as much, or the values cannot be had.</returns>
    public static Attenuator? Divider(double attenuationDb, double sourceOhms, double loadOhms)
    {
        var x = Conversions.DbToAmplitude(-attenuationDb);
        var together = (SeriesForLine + sourceOhms) * x / (1 - x);
        if (!(x is > 0 and < 1) || together >= loadOhms)
            return null;
        var shunt = NearestE24(together * loadOhms / (loadOhms - together));
        return Made(SeriesForLine, shunt, sourceOhms, loadOhms);
    }

    /// <summary>One resistor in line, which with the input's own impedance divides: series = load·(1 ÷ x − 1) − source.</summary>
    public static Attenuator? InLine(double attenuationDb, double sourceOhms, double loadOhms)
    {
        var series = loadOhms * (Conversions.DbToAmplitude(attenuationDb) - 1) - sourceOhms;
        return series < 1 ? null : Made(NearestE24(series), null, sourceOhms, loadOhms);
    }

    /// <summary>What to do about an output that is too hot, with the resistors.</summary>
    internal static string Advice(SocketLane source, SocketLane sink, LaneFacts facts, double mismatchDb)
    {
        var intoOpenDb = mismatchDb + source.NominalDbu - source.LevelIntoDbu(sink.Ohms);
        if (facts.AttenuationDb > 0)
            return $"Put a further attenuator of about {Words.Number(mismatchDb, 0)} dB in line.";
        var divider = Divider(intoOpenDb, source.Ohms, sink.Ohms);
        var text = $"Put an attenuator of about {Words.Number(mismatchDb, 0)} dB in line";
        if (divider is { ShuntOhms: { } shunt })
            text += $": {LevelWords.Ohms(divider.SeriesOhms)} in line and {LevelWords.Ohms(shunt)} across, at the machine's end";
        if (sink.Kind == SignalKind.DinRecord && InLine(intoOpenDb, source.Ohms, sink.Ohms) is { } single)
            text +=
                $"; or {LevelWords.Ohms(single.SeriesOhms)} in line inside the DIN plug, in each channel "
                + "(further from it the cable's capacitance takes the treble)";
        if (sink.Kind == SignalKind.Microphone && sink.HasPlugInPower)
            text += ", with a capacitor of 1 µF before the tip";
        return text + ".";
    }

    private static Attenuator Made(double series, double? shunt, double sourceOhms, double loadOhms)
    {
        var together = shunt is { } s ? Attenuator.Parallel(s, loadOhms) : loadOhms;
        var taken = -Conversions.AmplitudeToDb(together / (together + series + sourceOhms));
        return new Attenuator(series, shunt, taken) { SourceOhms = sourceOhms, LoadOhms = loadOhms };
    }
}
