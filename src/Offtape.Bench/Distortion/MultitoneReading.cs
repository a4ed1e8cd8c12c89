using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>
/// A multitone as one channel heard it. All its tones are whole hertz; two seconds of it, freed from wobble, have the tones and what they make of
/// each other on even lines of half a hertz, and noise on all lines alike.
/// </summary>
internal sealed record MultitoneReading
{
    private const double PeriodSeconds = 2;

    // 2 s are a power of two of frames at this rate.
    private const int RenderRate = 65_536;

    // The tones that the wobble is followed by: high enough to tell it, low enough for every machine.
    private const double FollowFromHz = 1200;
    private const double FollowToHz = 7000;
    private const double FrameSeconds = 0.01;

    // Of the tones' own skirts, where what is left of fast flutter lies, this much on either side is counted to the tone.
    private const double SkirtHz = 4;

    // Lines that are looked at for what tones make of each other.
    private const double LowestHz = 20;

    internal required BenchPart Part { get; init; }

    internal required int Channel { get; init; }

    /// <summary>Peak of each tone against what was sent, linear.</summary>
    internal required double[] Gains { get; init; }

    /// <summary>Standard uncertainty of each of <see cref="Gains"/>.</summary>
    internal required double[] GainSigmas { get; init; }

    /// <summary>All tones together, in units of power (a sine of peak 1 is ½).</summary>
    internal required double TonePower { get; init; }

    /// <summary>What the tones make of each other: even lines less odd lines.</summary>
    internal required double ProductPower { get; init; }

    internal required double ProductSigma { get; init; }

    /// <summary>All that is no tone: products, noise, hum.</summary>
    internal required double OtherPower { get; init; }

    internal static MultitoneReading? Of(BenchCapture capture, BenchPart part, int channel)
    {
        var middle = part.StartSeconds + part.LengthSeconds / 2;
        var from = middle - PeriodSeconds / 2;
        if (part.LengthSeconds < PeriodSeconds + 0.2 || part.TonesHz.Any(f => f != Math.Round(f)))
            return null;
        var frames = Render(capture, channel, from, []);
        var lateness = Lateness(frames, part);
        if (lateness.Length == 0)
            return null;
        frames = Render(capture, channel, from, lateness);
        return Sort(frames, capture, part, channel);
    }

    private static float[] Render(BenchCapture capture, int channel, double fromSeconds, double[] lateness)
    {
        var positions = new double[(int)(PeriodSeconds * RenderRate)];
        var hop = FrameSeconds / 2 * RenderRate;
        const int step = 16;
        var clock = new StraightClock(capture.Clock);
        double Late(double frame)
        {
            if (lateness.Length == 0)
                return 0;
            var place = Math.Clamp(frame / hop - 1, 0, lateness.Length - 1.000001);
            var k = (int)place;
            return lateness[k] + (place - k) * (lateness[k + 1] - lateness[k]);
        }
        double Position(int frame)
        {
            // Lateness is known by when it is heard.
            var late = Late(frame + Late(frame) * RenderRate);
            return clock.CaptureAt(fromSeconds + (double)frame / RenderRate + late) * capture.SampleRateHz;
        }
        for (var i = 0; i < positions.Length; i += step)
        {
            var (a, b) = (Position(i), Position(i + step));
            for (var j = 0; j < step; j++)
                positions[i + j] = a + (b - a) * j / step;
        }
        var (low, high) = (Math.Min(positions[0], positions[^1]), Math.Max(positions[0], positions[^1]));
        var first = (int)Math.Clamp(low - 1000, 0, capture.FrameCount);
        var last = (int)Math.Clamp(high + 1000, first, capture.FrameCount);
        var frames = new float[positions.Length];
        var largest = Math.Abs(positions[^1] - positions[0]) / (positions.Length - 1) * 1.02;
        Retimer.Render(capture.Channel(channel)[first..last], first, positions, Retimer.BandwidthForStep(largest), frames);
        return frames;
    }

    /// <summary>Lateness against the first frame, at the middles of half-overlapping frames: each tone's phase, weighed by how well it tells.</summary>
    private static double[] Lateness(float[] samples, BenchPart part)
    {
        var hop = (int)(FrameSeconds / 2 * RenderRate);
        double[] sum = [],
            weights = [];
        foreach (var hz in part.TonesHz.Where(f => f is >= FollowFromHz and <= FollowToHz))
        {
            var frames = new TonePhasor(samples.Length, hz / RenderRate).Frames(samples, hop);
            if (sum.Length == 0)
                (sum, weights) = (new double[frames.Length], new double[frames.Length]);
            var (angle, start) = (frames[0].Phase, frames[0].Phase);
            for (var m = 0; m < frames.Length; m++)
            {
                var next = frames[m].Phase;
                angle = next + 2 * Math.PI * Math.Round((angle - next) / (2 * Math.PI));
                var weight = hz * hz * (frames[m].Real * frames[m].Real + frames[m].Imaginary * frames[m].Imaginary);
                sum[m] += weight * (start - angle) / (2 * Math.PI * hz);
                weights[m] += weight;
            }
        }
        for (var m = 0; m < sum.Length; m++)
            sum[m] = weights[m] > 0 ? sum[m] / weights[m] : 0;
        return sum.Length < 2 ? [] : sum;
    }

    private static MultitoneReading Sort(float[] frames, BenchCapture capture, BenchPart part, int channel)
    {
        var transform = new RealTransform(frames.Length);
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        transform.Forward(frames, re, im);
        double Power(int line)
        {
            // Of a sine of peak A, A²/2.
            var scale = Math.Sqrt(2) / frames.Length;
            return (re[line] * (double)re[line] + im[line] * (double)im[line]) * scale * scale;
        }
        var highestHz = Math.Min(20_000, 0.45 * Math.Min(capture.SampleRateHz, capture.Sheet.SampleRateHz));
        var sent = Conversions.DbToAmplitude(capture.Sheet.OperatingLevelDbfs + part.ToneLevelDb!.Value);
        var tones = part.TonesHz.Where(f => f < highestHz).ToArray();
        var (gains, sigmas, tonePower) = (new double[part.TonesHz.Count], new double[part.TonesHz.Count], 0.0);
        var skirt = (int)(SkirtHz * PeriodSeconds);
        var isTone = new bool[transform.BinCount];
        for (var t = 0; t < gains.Length; t++)
        {
            var line = (int)Math.Round(part.TonesHz[t] * PeriodSeconds);
            if (part.TonesHz[t] >= highestHz)
            {
                (gains[t], sigmas[t]) = (double.NaN, double.NaN);
                continue;
            }
            // Odd lines beside it are noise alone.
            var beside = 0.0;
            for (var i = 1; i <= 2 * skirt; i += 2)
                beside += (Power(line - i) + Power(line + i)) / (2 * skirt);
            var power = Math.Max(0, Power(line) - beside);
            gains[t] = Math.Sqrt(2 * power) / sent;
            sigmas[t] = Math.Sqrt(beside) / sent;
            tonePower += power;
            isTone.AsSpan(line - skirt, 2 * skirt + 1).Fill(true);
        }
        var (even, odd, squares, evenCount, oddCount, other) = (0.0, 0.0, 0.0, 0, 0, 0.0);
        for (var line = (int)(LowestHz * PeriodSeconds); line < highestHz * PeriodSeconds; line++)
        {
            if (isTone[line])
                continue;
            var power = Power(line);
            other += power;
            if (line % 2 == 0)
                (even, evenCount) = (even + power, evenCount + 1);
            else
                (odd, oddCount, squares) = (odd + power, oddCount + 1, squares + power * power);
        }
        return new MultitoneReading
        {
            Part = part,
            Channel = channel,
            Gains = gains,
            GainSigmas = sigmas,
            TonePower = tonePower,
            ProductPower = even - odd * evenCount / Math.Max(1, oddCount),
            // A line of noise has the variance of its own square: half of the mean of squares. Two sums of them.
            ProductSigma = Math.Sqrt(squares),
            OtherPower = other,
        };
    }
}
