using Offtape.Signal;

namespace Offtape.Simulator;

/// <summary>
/// The restlessness of one run before it is scaled: lines of the turning parts with their harmonics, a random part that falls with
/// frequency, and a band of flutter noise. Values are deviations of speed; each part has the root mean square that its share says. A longer
/// draw begins with the shorter one, value for value.
/// </summary>
internal static class Wobble
{
    // One relaxation process for every two octaves adds up to power that falls as 1/f between the lowest and the highest corner.
    private static readonly double[] RandomCornersHz = [0.06, 0.24, 1, 4, 16];

    // The phase of a turning part strays in straight pieces of this many values.
    private const int StrayStep = 64;

    /// <param name="transport">What the machine is made of.</param>
    /// <param name="seed">Seed of the run.</param>
    /// <param name="run">Which run: "record" or "replay", with its number.</param>
    /// <param name="count">How many values, <see cref="SpeedCurve.RateHz"/> in a second.</param>
    internal static double[] Draw(TransportModel transport, ulong seed, string run, int count)
    {
        var deviation = new double[count];
        for (var i = 0; i < transport.Lines.Count; i++)
            AddLine(deviation, transport.Lines[i], seed, $"line {i} {run}");
        AddRandom(deviation, transport.RandomShare, seed, "wobble random " + run);
        AddFlutterNoise(deviation, transport, new Dice(seed, "flutter noise " + run));
        return deviation;
    }

    /// <summary>Slow change of speed in per cent, of the size the model says, and not part of what is scaled.</summary>
    internal static double[] DrawDrift(TransportModel transport, ulong seed, string run, int count)
    {
        var drift = new double[count];
        if (transport.DriftPercent == 0)
            return drift;
        var dice = new Dice(seed, "drift " + run);
        // A take-up reel that fills, a motor that warms: a slow bend and a very slow random walk, together of the stated root mean square.
        var bend = dice.Sign() * dice.Uniform(0.5, 1);
        var phase = dice.Uniform(0, 2 * Math.PI);
        var periodSeconds = dice.Uniform(90, 400);
        for (var i = 0; i < count; i++)
            drift[i] = bend * Math.Sin(2 * Math.PI * i / (SpeedCurve.RateHz * periodSeconds) + phase);
        AddRelaxation(drift, 0.01, 0.7, dice);
        for (var i = 0; i < count; i++)
            drift[i] *= transport.DriftPercent;
        return drift;
    }

    private static void AddLine(double[] deviation, WobbleLine line, ulong seed, string name)
    {
        for (var harmonic = 1; harmonic <= line.HarmonicCount; harmonic++)
        {
            var dice = new Dice(seed, name, harmonic);
            // Eccentricity gives the fundamental; a pinched or worn rim gives the rest, each weaker than the one before.
            var rms = line.Share / Math.Pow(harmonic, 1.5) * (harmonic == 1 ? 1 : dice.Uniform(0.4, 1));
            var (amplitude, phase) = (rms * Math.Sqrt(2), dice.Uniform(0, 2 * Math.PI));
            var step = 2 * Math.PI * line.FrequencyHz * harmonic / SpeedCurve.RateHz;
            if (step > Math.PI / 4)
                break;
            // A part that turns never turns quite evenly: its phase strays a little, in straight pieces, so that a line has a width.
            var (stray, next) = (0.0, 0.0);
            for (var from = 0; from < deviation.Length; from += StrayStep)
            {
                (stray, next) = (next, next + 0.004 * dice.Normal());
                var piece = new Oscillator((step + (next - stray) / StrayStep) / (2 * Math.PI), step * from + phase + stray, 1);
                for (var i = from; i < Math.Min(from + StrayStep, deviation.Length); i++)
                    deviation[i] += amplitude * piece.Next();
            }
        }
    }

    private static void AddRandom(double[] deviation, double share, ulong seed, string name)
    {
        if (share == 0)
            return;
        var random = new double[deviation.Length];
        for (var i = 0; i < RandomCornersHz.Length; i++)
            AddRelaxation(random, RandomCornersHz[i], share / Math.Sqrt(RandomCornersHz.Length), new Dice(seed, name, i));
        // Nothing heavy jerks: a relaxation's corners are rounded off above its own range.
        var roof = BiquadCoefficients.Bilinear(1, 0, 0, 1, Math.Sqrt(2), 1, 40, SpeedCurve.RateHz);
        for (var round = 0; round < 2; round++)
            new Biquad(roof).Process(random, random);
        for (var i = 0; i < deviation.Length; i++)
            deviation[i] += random[i];
    }

    private static void AddRelaxation(double[] deviation, double cornerHz, double rms, Dice dice)
    {
        if (rms == 0)
            return;
        var keep = Math.Exp(-2 * Math.PI * cornerHz / SpeedCurve.RateHz);
        var drive = Math.Sqrt(1 - keep * keep);
        var state = dice.Normal();
        for (var i = 0; i < deviation.Length; i++)
        {
            deviation[i] += rms * state;
            state = keep * state + drive * dice.Rough();
        }
    }

    private static void AddFlutterNoise(double[] deviation, TransportModel transport, Dice dice)
    {
        if (transport.FlutterNoiseShare == 0)
            return;
        var noise = new double[deviation.Length];
        for (var i = 0; i < noise.Length; i++)
            noise[i] = dice.Rough();
        // Steep above, so that what knots of a true map 2 ms apart cannot hold is not there.
        const double q = 0.9;
        var band = BiquadCoefficients.Bilinear(0, 1 / q, 0, 1, 1 / q, 1, transport.FlutterNoiseHz, SpeedCurve.RateHz);
        var roof = BiquadCoefficients.Bilinear(1, 0, 0, 1, Math.Sqrt(2), 1, 2 * transport.FlutterNoiseHz, SpeedCurve.RateHz);
        BiquadCoefficients[] sections = [band, roof, roof];
        foreach (var section in sections)
            new Biquad(section).Process(noise, noise);
        var power = 0.0;
        const int steps = 2000;
        for (var i = 0; i < steps; i++)
        {
            var gain = 1.0;
            foreach (var section in sections)
                gain *= section.ResponseAt((i + 0.5) * SpeedCurve.RateHz / 2 / steps, SpeedCurve.RateHz).Magnitude;
            power += gain * gain / steps;
        }
        var scale = transport.FlutterNoiseShare / Math.Sqrt(power);
        for (var i = 0; i < noise.Length; i++)
            deviation[i] += scale * noise[i];
    }
}
