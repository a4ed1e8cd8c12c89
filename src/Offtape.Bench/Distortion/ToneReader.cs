using System.Numerics;

namespace Offtape.Bench;

/// <summary>
/// Reads a tone that a tape has made to wobble: the fundamental's phase is followed, and each harmonic is demodulated with that many times the
/// phase, so that wobble spreads none of it. What lies beside the harmonics in frequency is their noise. Dropouts are left out.
/// </summary>
internal static class ToneReader
{
    // A frame is a Hann window of whole cycles: the other harmonics lie on its nulls.
    private const int LeastCycles = 4;
    private const double WideSeconds = 0.002;
    private const double FineSeconds = 0.006;
    private const int FinePasses = 2;

    private const double NoiseNearTone = 1.15;

    // A frame this far under the middle one is a dropout, and so are its neighbours.
    private const double DropoutShare = 0.85;

    // The retimer and the machine have an end; what lies above is not read.
    private const double UsableShareOfRate = 0.45;

    /// <param name="samples">Nothing but the tone, full scale = 1; some tens of its cycles at least.</param>
    /// <param name="sampleRateHz">Of the samples.</param>
    /// <param name="frequencyHz">As expected in the capture, within about 2 %.</param>
    /// <returns>Null where there are too few samples.</returns>
    internal static ToneReading? Read(ReadOnlySpan<float> samples, int sampleRateHz, double frequencyHz)
    {
        var turn = frequencyHz / sampleRateHz;
        var wide = Hop(WideSeconds, turn, sampleRateHz);
        var fine = Hop(FineSeconds, turn, sampleRateHz);
        if (samples.Length < 16 * fine)
            return null;
        var phasor = new TonePhasor(samples.Length, turn);
        phasor.Turn(Angles(phasor.Frames(samples, wide)), wide);
        for (var pass = 0; pass < FinePasses; pass++)
            phasor.Turn(Angles(phasor.Frames(samples, fine)), fine);

        var frames = new Complex[ToneReading.HarmonicCount][];
        frames[0] = phasor.Frames(samples, fine);
        var weights = Weights(frames[0]);
        // Frames are whole cycles only to the nearest sample: what of the fundamental would come through beside a weak harmonic is taken off.
        var rest = samples.ToArray();
        phasor.Subtract(Mean(frames[0], weights).Mean, rest);
        var multiple = phasor.Copy();
        for (var n = 2; n <= frames.Length; n++)
        {
            multiple.Multiply(phasor);
            frames[n - 1] = n * turn < UsableShareOfRate ? multiple.Frames(rest, fine) : [];
        }
        var harmonics = new Complex[frames.Length];
        var noise = new double[frames.Length];
        for (var n = 0; n < frames.Length; n++)
            (harmonics[n], noise[n]) = frames[n].Length == 0 ? (Complex.Zero, 0) : Mean(frames[n], weights);
        var sum = 0.0;
        foreach (var sample in samples)
            sum += sample;
        var own = Complex.FromPolarCoordinates(1, -harmonics[0].Phase);
        var turned = Complex.One;
        for (var n = 0; n < harmonics.Length; n++)
            harmonics[n] *= turned *= own;
        return new ToneReading
        {
            Amplitude = harmonics[0].Magnitude,
            AmplitudeSigma = noise[0] / Math.Sqrt(2),
            Harmonics = harmonics,
            NoiseRms = noise,
            Offset = sum / samples.Length,
        };
    }

    // Half a frame: the frame is whole cycles as nearly as samples allow.
    private static int Hop(double seconds, double turn, int rate)
    {
        var cycles = Math.Max(LeastCycles, Math.Ceiling(seconds * turn * rate));
        return (int)Math.Round(cycles / turn / 2);
    }

    private static double[] Angles(Complex[] frames)
    {
        var angles = new double[frames.Length];
        for (var m = 0; m < frames.Length; m++)
        {
            var angle = frames[m].Phase;
            angles[m] = m == 0 ? angle : angle + 2 * Math.PI * Math.Round((angles[m - 1] - angle) / (2 * Math.PI));
        }
        return angles;
    }

    private static double[] Weights(Complex[] fundamental)
    {
        var sizes = Array.ConvertAll(fundamental, f => f.Magnitude);
        var sorted = (double[])sizes.Clone();
        Array.Sort(sorted);
        var least = DropoutShare * sorted[sorted.Length / 2];
        var weights = new double[sizes.Length];
        for (var m = 0; m < weights.Length; m++)
        {
            var isSound = sizes[m] >= least && (m == 0 || sizes[m - 1] >= least) && (m == weights.Length - 1 || sizes[m + 1] >= least);
            // A window over all of it keeps neighbouring lines, of hum for one, out of the harmonics.
            weights[m] = isSound ? Math.Pow(Math.Sin(Math.PI * (m + 0.5) / weights.Length), 2) : 0;
        }
        return weights.Sum() > 0 ? weights : Array.ConvertAll(weights, _ => 1.0);
    }

    private static (Complex Mean, double NoiseRms) Mean(Complex[] frames, double[] weights)
    {
        var (sum, total, squares) = (Complex.Zero, 0.0, 0.0);
        for (var m = 0; m < frames.Length; m++)
        {
            sum += weights[m] * frames[m];
            total += weights[m];
            squares += weights[m] * weights[m];
        }
        // Frames two apart share nothing: the variance of a − 2b + c is six times that of each.
        var (power, count) = (0.0, 0);
        for (var m = 4; m < frames.Length; m++)
        {
            if (weights[m] == 0 || weights[m - 2] == 0 || weights[m - 4] == 0)
                continue;
            var difference = frames[m] - 2 * frames[m - 2] + frames[m - 4];
            power += (difference.Real * difference.Real + difference.Imaginary * difference.Imaginary) / 6;
            count++;
        }
        // Overlapping frames are correlated with one neighbour on either side by a sixth (Hann, half overlapped). The noise beside a loud tone
        // rises towards it, within the width that the frames tell: as much more, measured over the simulated machines.
        var variance = count == 0 ? 0 : power / count * squares / (total * total) * (1 + 2.0 / 6) * NoiseNearTone;
        return (sum / total, Math.Sqrt(variance));
    }
}
