using System.Numerics;

namespace Offtape.Signal;

/// <summary>
/// Follows the phase of a received sweep against its formula, and so finds how late every moment of it is heard: the wobble of a tape, to be
/// taken out before the sweep is divided out. The phase that the machine itself turns is taken for lateness as well; above the frequency
/// where following begins that is some tens of microseconds, slowly changing, and turns no magnitude. An instance holds tables and no
/// state: make one for a sweep, use it for all of its captures, on any thread.
/// </summary>
public sealed class SweepFollower
{
    // Wide enough for 0.5 % of wow at the sweep's fastest end, narrow enough to stand 20 dB of noise.
    private const double WideSeconds = 0.005;

    // Flutter up to about 100 Hz goes through; what is faster stays in the sweep.
    private const double FineSeconds = 0.016;

    private const int FinePasses = 2;

    // The slope that goes on below the first frequency is that of so long.
    private const double SlopeSeconds = 0.25;

    // Below this power over noise the phase is chance (10 dB).
    private const double LeastPowerRatio = 10;

    private readonly int _blockFrames;
    private readonly int _blockCount;
    private readonly double _fromHz;
    private readonly float[] _cos;
    private readonly float[] _sin;

    /// <param name="sweep">The sweep's formula.</param>
    /// <param name="sampleRateHz">Frames in a second.</param>
    /// <param name="fromHz">Following begins where the sweep passes this frequency; before it the lateness goes on straight.</param>
    public SweepFollower(SynchronisedSweep sweep, double sampleRateHz, double fromHz = 140)
    {
        (Sweep, SampleRateHz, _fromHz) = (sweep, sampleRateHz, Math.Max(fromHz, sweep.StartHz));
        _blockFrames = Math.Max(1, (int)Math.Round(sampleRateHz / 3000));
        _blockCount = (int)(sweep.DurationSeconds * sampleRateHz / _blockFrames);
        (_cos, _sin) = (new float[_blockCount * _blockFrames], new float[_blockCount * _blockFrames]);
        for (var i = 0; i < _cos.Length; i++)
        {
            var cycles = sweep.PhaseCycles(i / sampleRateHz);
            var (s, c) = Math.SinCos(2 * Math.PI * (cycles - Math.Round(cycles)));
            (_sin[i], _cos[i]) = ((float)s, (float)c);
        }
    }

    public SynchronisedSweep Sweep { get; }

    public double SampleRateHz { get; }

    /// <summary>Where following begins.</summary>
    public double FromHz => _fromHz;

    /// <summary>How many steps there are.</summary>
    public int StepCount => _blockCount;

    /// <summary>Step of the lateness that <see cref="Follow"/> gives; its first point is at half a step.</summary>
    public double StepSeconds => _blockFrames / SampleRateHz;

    /// <summary>
    /// How late the sweep is heard: at the moment t of the received signal (after frame startFrame) the sweep has got to t − lateness(t).
    /// </summary>
    /// <param name="received">One channel, with the sweep's time 0 near <paramref name="startFrame"/>.</param>
    /// <param name="startFrame">May be some milliseconds off what is heard.</param>
    /// <returns>
    /// One for each step: the lateness, straight over stretches that are lost in noise; and whether the sweep was followed there. Nothing is
    /// followed before the first frequency.
    /// </returns>
    public (double[] LatenessSeconds, bool[] IsHeard) Follow(ReadOnlySpan<float> received, int startFrame)
    {
        var envelope = Envelope(received, startFrame);
        var (phase, isHeard) = (new double[_blockCount], new bool[_blockCount]);
        Phase(envelope, WideSeconds, 6, [], phase, out _);
        phase = Smooth(phase);
        // What a window takes off fast flutter, the next pass finds in what is left.
        for (var pass = 0; pass < FinePasses; pass++)
            Phase(envelope, FineSeconds, 8, pass == 0 ? phase : Filled(phase), phase, out isHeard);
        return (Lateness(phase, isHeard), isHeard);
    }

    // A·sin(φ + θ) times 2j·e^(−jφ) is A·e^(jθ) and something at twice the frequency, which the sums leave little of.
    private Complex[] Envelope(ReadOnlySpan<float> received, int startFrame)
    {
        var envelope = new Complex[_blockCount];
        for (var b = 0; b < _blockCount; b++)
        {
            var (re, im) = (0.0, 0.0);
            for (var i = b * _blockFrames; i < (b + 1) * _blockFrames; i++)
            {
                var frame = i + startFrame;
                if ((uint)frame >= (uint)received.Length)
                    continue;
                re += received[frame] * _sin[i];
                im += received[frame] * _cos[i];
            }
            envelope[b] = new Complex(re, im) * (2.0 / _blockFrames);
        }
        return envelope;
    }

    private double Time(int block) => (block + 0.5) * StepSeconds;

    /// <summary>Unwrapped phase of the envelope under a window, on top of a phase that is known already.</summary>
    private void Phase(Complex[] envelope, double seconds, double cycles, double[] known, double[] phase, out bool[] isHeard)
    {
        var turned = known.Length == 0 ? envelope : new Complex[_blockCount];
        for (var b = 0; b < known.Length; b++)
            turned[b] = envelope[b] * Complex.FromPolarCoordinates(1, -known[b]);
        var means = new Complex[_blockCount];
        for (var b = FirstBlock(); b < _blockCount; b++)
            means[b] = Mean(turned, b, HalfBlocks(b, seconds, cycles));
        isHeard = Heard(means, b => HalfBlocks(b, seconds, cycles));
        var last = double.NaN;
        for (var b = 0; b < _blockCount; b++)
        {
            if (!isHeard[b])
            {
                phase[b] = double.NaN;
                continue;
            }
            var angle = means[b].Phase;
            if (!double.IsNaN(last))
                angle += 2 * Math.PI * Math.Round((last - angle) / (2 * Math.PI));
            last = angle;
            phase[b] = angle + (known.Length == 0 ? 0 : known[b]);
        }
    }

    private int HalfBlocks(int block, double seconds, double cycles) =>
        Math.Max(1, (int)Math.Round(Math.Max(seconds, cycles / Sweep.FrequencyHz(Time(block))) / StepSeconds / 2));

    private Complex Mean(Complex[] values, int block, int half)
    {
        var (sum, weights) = (Complex.Zero, 0.0);
        for (var k = Math.Max(0, block - half); k <= Math.Min(_blockCount - 1, block + half); k++)
        {
            // Blackman–Harris (Harris 1978): what the product leaves at twice the frequency lies 92 dB down; more of it would modulate the sweep,
            // and look like a third harmonic.
            var c = Math.Cos(Math.PI * (k - block) / (half + 1));
            var w = 0.35875 + 0.48829 * c + 0.14128 * (2 * c * c - 1) + 0.01168 * c * (4 * c * c - 3);
            sum += w * values[k];
            weights += w;
        }
        return sum / weights;
    }

    private int FirstBlock() => Math.Clamp((int)(Sweep.TimeSeconds(_fromHz) / StepSeconds), 0, _blockCount - 1);

    /// <summary>
    /// Where the means stand out of their noise: noise is what makes their size change from one window to the next, the sound itself
    /// going on straight; sizes, because the phase turns with the wobble.
    /// </summary>
    private bool[] Heard(Complex[] means, Func<int, int> halfBlocks)
    {
        var first = FirstBlock();
        var sizes = Array.ConvertAll(means, m => m.Magnitude);
        var (sums, counts) = (new double[_blockCount + 1], new int[_blockCount + 1]);
        for (var b = 0; b < _blockCount; b++)
        {
            var step = 2 * halfBlocks(b);
            var isInside = b - step >= first && b + step < _blockCount;
            // The variance of a − 2·b + c is six times that of each where they are independent, and noise lies half in the size.
            sums[b + 1] = sums[b] + (isInside ? Square(sizes[b - step] - 2 * sizes[b] + sizes[b + step]) / 3 : 0);
            counts[b + 1] = counts[b] + (isInside ? 1 : 0);
        }
        var (isHeard, heardBefore) = (new bool[_blockCount], new int[_blockCount + 1]);
        for (var b = 0; b < _blockCount; b++)
        {
            var (from, to) = Around(b, 0.05);
            var count = counts[to] - counts[from];
            // Too near an end to tell: as its neighbour.
            isHeard[b] =
                b >= first
                && (
                    count > 0 ? Square(sizes[b]) > LeastPowerRatio * (sums[to] - sums[from]) / count
                    : b > first ? isHeard[b - 1]
                    : sizes[b] > 0
                );
            heardBefore[b + 1] = heardBefore[b] + (isHeard[b] ? 1 : 0);
        }
        // Noise reaches over the threshold too, now and then; a sweep stays there.
        for (var b = first; b < _blockCount; b++)
        {
            var (from, to) = Around(b, 0.03);
            isHeard[b] &= heardBefore[to] - heardBefore[from] > 0.8 * (to - Math.Max(from, first));
        }
        return isHeard;
    }

    private (int From, int ToExcl) Around(int block, double seconds)
    {
        var reach = (int)(seconds / StepSeconds);
        return (Math.Max(0, block - reach), Math.Min(_blockCount, block + reach + 1));
    }

    // Straight over what was not heard, then a mean over the fine window, so that the second pass begins from something smooth.
    private double[] Smooth(double[] phase)
    {
        var whole = Filled(phase);
        var half = Math.Max(1, (int)Math.Round(FineSeconds / StepSeconds / 4));
        var smooth = new double[whole.Length];
        for (var b = 0; b < smooth.Length; b++)
        {
            // The same on either side, so that a slope stays where it is.
            var reach = Math.Min(half, Math.Min(b, smooth.Length - 1 - b));
            var sum = 0.0;
            for (var k = b - reach; k <= b + reach; k++)
                sum += whole[k];
            smooth[b] = sum / (2 * reach + 1);
        }
        return smooth;
    }

    private double[] Lateness(double[] phase, bool[] isHeard)
    {
        var lateness = new double[_blockCount];
        for (var b = 0; b < _blockCount; b++)
        {
            if (!isHeard[b] || double.IsNaN(phase[b]))
            {
                lateness[b] = double.NaN;
                continue;
            }
            // Where the formula has this phase: exact, not the first order of it.
            var cycles = Sweep.PhaseCycles(Time(b)) + phase[b] / (2 * Math.PI);
            lateness[b] = Time(b) - Sweep.GrowthSeconds * Math.Log(cycles / Sweep.WholeCycles);
        }
        var filled = Filled(lateness);
        GoOnStraight(filled, isHeard);
        return filled;
    }

    // Before the first that was heard: a sudden change of slope would be a step of frequency, and a dent in the response.
    private void GoOnStraight(double[] lateness, bool[] isHeard)
    {
        var first = Array.IndexOf(isHeard, true);
        var count = Math.Min((int)(SlopeSeconds / StepSeconds), _blockCount - first);
        if (first < 0 || count < 3)
            return;
        var (middle, mean) = ((count - 1) / 2.0, 0.0);
        for (var i = 0; i < count; i++)
            mean += lateness[first + i] / count;
        var (slope, weight) = (0.0, 0.0);
        for (var i = 0; i < count; i++)
        {
            slope += (i - middle) * (lateness[first + i] - mean);
            weight += (i - middle) * (i - middle);
        }
        slope /= weight;
        for (var b = 0; b < first; b++)
            lateness[b] = lateness[first] + slope * (b - first);
    }

    /// <summary>Straight lines over gaps, the nearest value beyond the ends; zeros where there is nothing at all.</summary>
    private static double[] Filled(double[] values)
    {
        var filled = (double[])values.Clone();
        var before = -1;
        for (var i = 0; i < filled.Length; i++)
        {
            if (double.IsNaN(values[i]))
                continue;
            for (var k = before + 1; k < i; k++)
            {
                var s = (double)(k - before) / (i - before);
                filled[k] = before < 0 ? values[i] : values[before] + s * (values[i] - values[before]);
            }
            before = i;
        }
        for (var k = before + 1; k < filled.Length; k++)
            filled[k] = before < 0 ? 0 : values[before];
        return filled;
    }

    private static double Square(double value) => value * value;
}
