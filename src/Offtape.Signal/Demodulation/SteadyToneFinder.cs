namespace Offtape.Signal;

/// <summary>
/// Finds the longest stretch of a recording in which one tone stands out, from 300 Hz to 10 kHz, without being told its frequency. It may
/// wander by ±6 %, pause for half a second and be mistaken for another for as long; music and noise are none.
/// </summary>
public static class SteadyToneFinder
{
    public const double LowestHz = 300;

    public const double HighestHz = 10_000;

    // The tone and its near sidebands hold at least this much of what sounds: what a listener would call a tone and nothing else.
    private const double LeastShare = 0.7;

    private const double LargestStray = 0.06;

    private const double LongestPauseSeconds = 0.5;

    // Of the window's main lobe: four bins on either side of the peak hold the tone and its wobble.
    private const int LobeBins = 4;

    /// <summary>The tone, or null where there is none of at least the given length.</summary>
    /// <param name="samples">One channel.</param>
    /// <param name="sampleRateHz">Its rate.</param>
    /// <param name="leastSeconds">What is shorter is not found.</param>
    public static SteadyTone? Find(ReadOnlySpan<float> samples, int sampleRateHz, double leastSeconds)
    {
        var length = TransformLength.AtLeast((int)(0.07 * sampleRateHz));
        var looks = Look(samples, sampleRateHz, length);
        var best = (From: 0, To: 0);
        var run = (From: -1, To: -1, Hz: 0.0);
        var longestPause = (int)Math.Ceiling(LongestPauseSeconds * sampleRateHz / length);
        for (var i = 0; i < looks.Length; i++)
        {
            if (looks[i].Hz == 0)
                continue;
            var goesOn = run.From >= 0 && i - run.To <= longestPause && Math.Abs(looks[i].Hz / run.Hz - 1) < LargestStray;
            // The reference follows slowly, so that a lone wrong look does not carry the run away.
            run = goesOn ? (run.From, i + 1, run.Hz + 0.1 * (looks[i].Hz - run.Hz)) : (i, i + 1, looks[i].Hz);
            if (run.To - run.From > best.To - best.From)
                best = (run.From, run.To);
        }
        var frames = Math.Min((best.To - best.From) * (long)length, samples.Length);
        if (best.To == best.From || frames < leastSeconds * sampleRateHz)
            return null;
        var heard = looks[best.From..best.To].Where(l => l.Hz > 0).ToArray();
        // A pause may be long against a short tone; most of the stretch has to be tone.
        if (heard.Length < 0.7 * (best.To - best.From))
            return null;
        return new(
            best.From * length,
            Math.Min(best.To * length, samples.Length),
            Median([.. heard.Select(l => l.Hz)]),
            Median([.. heard.Select(l => l.Share)])
        );
    }

    private static (double Hz, double Share)[] Look(ReadOnlySpan<float> samples, int sampleRateHz, int length)
    {
        var transform = new RealTransform(length);
        var window = new float[length];
        Windows.Hann(window, WindowForm.Periodic);
        var (frame, re, im) = (new float[length], new float[transform.BinCount], new float[transform.BinCount]);
        var power = new double[transform.BinCount];
        var looks = new (double Hz, double Share)[samples.Length / length];
        double BinOf(double hz) => hz * length / sampleRateHz;
        var top = transform.BinCount - 2;
        var (soundFrom, soundTo) = ((int)BinOf(250), Math.Min(top, (int)BinOf(12_000)));
        var (from, to) = ((int)Math.Ceiling(BinOf(LowestHz)), Math.Min(top, (int)BinOf(HighestHz)));
        for (var i = 0; i < looks.Length; i++)
        {
            var block = samples.Slice(i * length, length);
            for (var k = 0; k < length; k++)
                frame[k] = block[k] * window[k];
            transform.Forward(frame, re, im);
            var total = 0.0;
            for (var k = Math.Max(0, soundFrom - LobeBins); k <= soundTo; k++)
            {
                power[k] = (double)re[k] * re[k] + (double)im[k] * im[k];
                total += k >= soundFrom ? power[k] : 0;
            }
            var peak = from;
            for (var k = from; k <= to; k++)
                peak = power[k] > power[peak] ? k : peak;
            var lobe = 0.0;
            for (var k = Math.Max(soundFrom, peak - LobeBins); k <= Math.Min(soundTo, peak + LobeBins); k++)
                lobe += power[k];
            // −120 dBFS: a tone below that is the rounding of a silent file.
            if (total > 1e-13 * length * length && lobe >= LeastShare * total)
                looks[i] = ((peak + Offset(power, peak)) * sampleRateHz / length, lobe / total);
        }
        return looks;
    }

    // A parabola through the logarithm of three bins.
    private static double Offset(double[] power, int peak)
    {
        var (a, b, c) = (Math.Log(power[peak - 1] + 1e-300), Math.Log(power[peak] + 1e-300), Math.Log(power[peak + 1] + 1e-300));
        var bend = a - 2 * b + c;
        return bend < 0 ? Math.Clamp(0.5 * (a - c) / bend, -0.5, 0.5) : 0;
    }

    private static double Median(double[] values)
    {
        Array.Sort(values);
        return values[values.Length / 2];
    }
}
