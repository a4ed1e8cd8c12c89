using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>
/// A sound as levels over time in bands of a third of an octave: coarse enough that a machine's response, its noise and a few per cent of speed
/// change it little, fine enough that no part of a check signal is like another but in level.
/// </summary>
internal sealed class SoundPicture
{
    internal const double StepSeconds = 0.025;
    internal const int BandCount = 18;

    private const double LowestHz = 112;
    private const double HighestHz = 7000;
    private const double BandsPerDecade = 10;
    private const int TransformFrames = 1024;
    private const int HopFrames = (int)(StepSeconds * WorkingChannel.RateHz);

    // What lies farther under the loudest moment is as good as silence: noise, crosstalk.
    private const double RangeDb = 34;

    private readonly float[] _levels;
    private readonly double _power;

    private SoundPicture(float[] levels) => (_levels, _power) = (levels, DotProduct.Of(levels, levels));

    internal int StepCount => _levels.Length / BandCount;

    /// <summary>Levels of all bands, step by step, in dB over the floor.</summary>
    internal ReadOnlySpan<float> Levels => _levels;

    /// <summary>Of all channels of a capture together; a step belongs to the moment of its number times <see cref="StepSeconds"/>.</summary>
    internal static SoundPicture Of(ICaptureAudio audio, CancellationToken cancellation)
    {
        var count = (int)Math.Ceiling(new WorkingChannel(audio, 0).FrameCount / (double)HopFrames);
        var power = new double[count * BandCount];
        for (var channel = 0; channel < audio.ChannelCount; channel++)
            Add(new WorkingChannel(audio, channel).Read, power, cancellation);
        return Of(power);
    }

    /// <summary>Of a part by its formula, with silence on either side, played at a speed.</summary>
    internal static SoundPicture Of(BenchPart part, double marginSeconds, double speed, CancellationToken cancellation)
    {
        var audible = Below(part, HighestHz / speed);
        var sound = new float[(int)Math.Ceiling((part.LengthSeconds / speed + 2 * marginSeconds) * WorkingChannel.RateHz)];
        PartSound.Add(audible, 0, -marginSeconds * WorkingChannel.RateHz, WorkingChannel.RateHz / speed, sound);
        if (part.Kind == BenchPartKind.Sweep)
        {
            // Where it leaves the picture it would be folded back.
            var end = marginSeconds + PartSound.SweepOf(part).TimeSeconds(Math.Min(part.ToHz!.Value, HighestHz / speed)) / speed;
            sound.AsSpan(Math.Min(sound.Length, (int)(end * WorkingChannel.RateHz))).Clear();
        }
        var power = new double[(int)Math.Ceiling(sound.Length / (double)HopFrames) * BandCount];
        var memory = new MemoryAudio([sound], (int)WorkingChannel.RateHz);
        Add((start, frames) => memory.Read(0, start, frames), power, cancellation);
        return Of(power);
    }

    private static BenchPart Below(BenchPart part, double highestHz) =>
        part.Kind == BenchPartKind.Multitone
            ? part with
            {
                TonesHz = [.. part.TonesHz.Where(hz => hz < highestHz)],
                PhasesRadians = [.. part.PhasesRadians.Where((_, i) => part.TonesHz[i] < highestHz)],
            }
            : part;

    private delegate void Reader(long startFrame, Span<float> frames);

    private static void Add(Reader read, double[] power, CancellationToken cancellation)
    {
        var transform = new RealTransform(TransformFrames);
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        var (frames, windowed, window) = (new float[TransformFrames], new float[TransformFrames], new float[TransformFrames]);
        Windows.Hann(window, WindowForm.Periodic);
        var bandOfBin = Enumerable.Range(0, transform.BinCount).Select(k => BandOf(k * WorkingChannel.RateHz / TransformFrames)).ToArray();
        // The window's middle stands at the step's moment; every frame is read once.
        read(-TransformFrames / 2 - HopFrames, frames);
        for (var step = 0; step < power.Length / BandCount; step++)
        {
            cancellation.ThrowIfCancellationRequested();
            frames.AsSpan(HopFrames).CopyTo(frames);
            read((long)step * HopFrames + TransformFrames / 2 - HopFrames, frames.AsSpan(TransformFrames - HopFrames));
            for (var i = 0; i < frames.Length; i++)
                windowed[i] = frames[i] * window[i];
            transform.Forward(windowed, re, im);
            for (var k = 0; k < bandOfBin.Length; k++)
            {
                if (bandOfBin[k] is >= 0 and < BandCount and var band)
                    power[step * BandCount + band] += (double)re[k] * re[k] + (double)im[k] * im[k];
            }
        }
    }

    private static SoundPicture Of(double[] power)
    {
        var floorDb = Conversions.PowerToDb(power.DefaultIfEmpty(0).Max()) - RangeDb;
        return new SoundPicture(Array.ConvertAll(power, p => (float)Math.Max(0, Conversions.PowerToDb(p) - floorDb)));
    }

    private static int BandOf(double hz) => hz < LowestHz ? -1 : (int)(BandsPerDecade * Math.Log10(hz / LowestHz));

    /// <summary>Mean of all levels over a stretch; not a number where none of it is in the picture.</summary>
    internal double MeanLevel(double fromSeconds, double toSeconds)
    {
        var from = (int)Math.Clamp(Math.Ceiling(fromSeconds / StepSeconds), 0, StepCount);
        var to = (int)Math.Clamp(Math.Floor(toSeconds / StepSeconds) + 1, from, StepCount);
        var sum = 0.0;
        foreach (var level in _levels.AsSpan(from * BandCount, (to - from) * BandCount))
            sum += level;
        return to == from ? double.NaN : sum / ((to - from) * BandCount);
    }

    /// <summary>How like this picture a stretch of another is, 0 to 1: their normalised product; what lies outside the other is silence.</summary>
    internal double LikenessIn(SoundPicture other, int firstStep)
    {
        var from = Math.Max(0, -firstStep);
        var to = Math.Min(StepCount, other.StepCount - firstStep);
        if (to <= from)
            return 0;
        var a = Levels[(from * BandCount)..(to * BandCount)];
        var b = other.Levels[((from + firstStep) * BandCount)..((to + firstStep) * BandCount)];
        return DotProduct.Of(a, b) / Math.Sqrt(Math.Max(_power, 1e-9) * Math.Max(DotProduct.Of(b, b), 1e-9));
    }
}
