using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>How a part sounds, from its formula: at any rate and from any moment on, so that a reader can make what it compares with.</summary>
public static class PartSound
{
    /// <summary>Raised-cosine fade at both ends of a steady tone or a multitone, within its length.</summary>
    public const double ToneFadeSeconds = 0.05;

    /// <summary>The same at both ends of each step of a staircase.</summary>
    public const double StepFadeSeconds = 0.01;

    /// <summary>Fade at the beginning of a sweep, within its length: over at 20.6 Hz.</summary>
    public const double SweepFadeInSeconds = 0.02;

    /// <summary>Fade at the end of a sweep, within its length: from 19.9 kHz on.</summary>
    public const double SweepFadeOutSeconds = 0.005;

    /// <summary>The sweep of a sweep part.</summary>
    public static SynchronisedSweep SweepOf(BenchPart part) => new(part.FromHz!.Value, part.ToHz!.Value, part.LengthSeconds);

    /// <summary>Length of one step of a staircase.</summary>
    public static double StepSeconds(BenchPart part) => part.LengthSeconds / part.StepLevelsDb.Count;

    /// <summary>The highest peak of a part against operating level, in dB; −∞ for silence.</summary>
    public static double PeakDb(BenchPart part) =>
        part.Kind switch
        {
            BenchPartKind.Silence => double.NegativeInfinity,
            BenchPartKind.Staircase => part.StepLevelsDb.Max(),
            _ => part.LevelDb,
        };

    /// <summary>Adds a part to what is there, in units of full scale.</summary>
    /// <param name="part">The part.</param>
    /// <param name="operatingLevelDbfs">Of its sheet.</param>
    /// <param name="firstFrame">Of <c>output[0]</c> after the part's start; may be a fraction, or negative: outside the part nothing is added.</param>
    /// <param name="sampleRateHz">Any.</param>
    /// <param name="output">One channel.</param>
    public static void Add(BenchPart part, double operatingLevelDbfs, double firstFrame, double sampleRateHz, Span<float> output)
    {
        var first = (int)Math.Clamp(Math.Ceiling(-firstFrame), 0, output.Length);
        var count = (int)Math.Clamp(Math.Ceiling(part.LengthSeconds * sampleRateHz - firstFrame - 1e-6), 0, output.Length);
        if (count <= first)
            return;
        var target = output[first..count];
        var time = new Times(firstFrame + first, sampleRateHz);
        var operating = Conversions.DbToAmplitude(operatingLevelDbfs);
        switch (part.Kind)
        {
            case BenchPartKind.Polarity:
                AddPulses(operating * Conversions.DbToAmplitude(part.LevelDb), time, target);
                break;
            case BenchPartKind.LevelTone or BenchPartKind.SpeedTone or BenchPartKind.Erasure:
                AddTone(part, operating * Conversions.DbToAmplitude(part.LevelDb), time, target);
                break;
            case BenchPartKind.Staircase:
                AddStairs(part, operating, time, target);
                break;
            case BenchPartKind.Sweep:
                AddSweep(part, operating * Conversions.DbToAmplitude(part.LevelDb), time, target);
                break;
            case BenchPartKind.Multitone:
                AddTones(part, operating * Conversions.DbToAmplitude(part.ToneLevelDb!.Value), time, target);
                break;
        }
    }

    private static void AddPulses(double peak, Times time, Span<float> output)
    {
        for (var i = 0; i < output.Length; i++)
            output[i] += (float)(peak * PolarityPulses.At(time[i]));
    }

    private static void AddTone(BenchPart part, double peak, Times time, Span<float> output)
    {
        var frequencyHz = part.FrequencyHz!.Value;
        for (var i = 0; i < output.Length; i++)
        {
            var t = time[i];
            output[i] += (float)(peak * Fade(t, part.LengthSeconds, ToneFadeSeconds, ToneFadeSeconds) * Sine(frequencyHz * t));
        }
    }

    // One sine all the way, so that every step has the phase of the part's beginning.
    private static void AddStairs(BenchPart part, double operating, Times time, Span<float> output)
    {
        var frequencyHz = part.FrequencyHz!.Value;
        var stepSeconds = StepSeconds(part);
        var peaks = part.StepLevelsDb.Select(l => operating * Conversions.DbToAmplitude(l)).ToArray();
        for (var i = 0; i < output.Length; i++)
        {
            var t = time[i];
            var step = Math.Clamp((int)Math.Floor(t / stepSeconds), 0, peaks.Length - 1);
            var fade = Fade(t - step * stepSeconds, stepSeconds, StepFadeSeconds, StepFadeSeconds);
            output[i] += (float)(peaks[step] * fade * Sine(frequencyHz * t));
        }
    }

    private static void AddSweep(BenchPart part, double peak, Times time, Span<float> output)
    {
        var sweep = SweepOf(part);
        var (cycles, growth, duration) = (sweep.WholeCycles, sweep.GrowthSeconds, sweep.DurationSeconds);
        for (var i = 0; i < output.Length; i++)
        {
            var t = time[i];
            output[i] += (float)(peak * Fade(t, duration, SweepFadeInSeconds, SweepFadeOutSeconds) * Sine(cycles * Math.Exp(t / growth)));
        }
    }

    private static void AddTones(BenchPart part, double peak, Times time, Span<float> output)
    {
        for (var i = 0; i < output.Length; i++)
        {
            var t = time[i];
            var sum = 0.0;
            for (var k = 0; k < part.TonesHz.Count; k++)
                sum += Sine(part.TonesHz[k] * t + part.PhasesRadians[k] / (2 * Math.PI));
            output[i] += (float)(peak * Fade(t, part.LengthSeconds, ToneFadeSeconds, ToneFadeSeconds) * sum);
        }
    }

    private static double Fade(double t, double lengthSeconds, double inSeconds, double outSeconds)
    {
        var fade = 1.0;
        if (t < inSeconds)
            fade *= 0.5 - 0.5 * Math.Cos(Math.PI * Math.Max(0, t) / inSeconds);
        if (lengthSeconds - t < outSeconds)
            fade *= 0.5 - 0.5 * Math.Cos(Math.PI * Math.Max(0, lengthSeconds - t) / outSeconds);
        return fade;
    }

    private static double Sine(double cycles) => Math.Sin(2 * Math.PI * (cycles - Math.Round(cycles)));

    // By one division from the whole frame: a part cut into blocks is the same part, bit for bit.
    private readonly struct Times(double firstFrame, double sampleRateHz)
    {
        internal double this[int index] => (firstFrame + index) / sampleRateHz;
    }
}
