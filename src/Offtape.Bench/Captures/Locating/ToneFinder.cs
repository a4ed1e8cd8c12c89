using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>
/// Finds a check signal of which no slate is heard by its long speed tone: nothing else in it, and little else on tape, holds one note so long.
/// </summary>
internal static class ToneFinder
{
    private const double ReachShare = 0.04;
    private const int TransformFrames = 1024;
    private const int HopFrames = 400;
    private const double LeastShare = 0.5;
    private const double LongestGapSeconds = 0.5;
    private const double ShortestSeconds = 15;
    private const double LengthTolerance = 0.01;
    private const double EdgeSeconds = 0.2;

    /// <summary>The runs of the sheet in the capture; none where it has no long tone, or none is heard.</summary>
    internal static IReadOnlyList<LocatedRun> Find(ICaptureAudio audio, BenchSheet sheet, CancellationToken cancellation)
    {
        if (sheet.Parts.FirstOrDefault(p => p.Kind == BenchPartKind.SpeedTone) is not { } part)
            return [];
        var lengthSeconds = (double)audio.FrameCount / audio.SampleRateHz;
        var best = Enumerable
            .Range(0, audio.ChannelCount)
            .Select(c => Stretches(audio, c, part.FrequencyHz!.Value, cancellation))
            .MaxBy(s => s.Sum(t => t.To - t.From))!;
        var runs = new List<LocatedRun>();
        foreach (var (from, to, frequencyHz) in best)
        {
            var speed = frequencyHz / part.FrequencyHz!.Value;
            var wanted = part.LengthSeconds / speed;
            var isWhole = Math.Abs(to - from - wanted) < LengthTolerance * wanted + EdgeSeconds;
            // A capture that begins or ends within the tone has one edge of it.
            var isCut = to - from < wanted && (from < EdgeSeconds || to > lengthSeconds - EdgeSeconds);
            if (!isWhole && !isCut)
                continue;
            var useEnd = !isWhole && from < EdgeSeconds;
            var send = part.StartSeconds + (useEnd ? part.LengthSeconds : 0);
            runs.Add(
                new LocatedRun
                {
                    Sheet = sheet,
                    IsReversed = false,
                    HasSlates = false,
                    Anchors = isWhole
                        ? [(send, from, speed), (part.StartSeconds + part.LengthSeconds, to, speed)]
                        : [(send, useEnd ? to : from, speed)],
                }
            );
        }
        return runs;
    }

    private static List<(double From, double To, double FrequencyHz)> Stretches(
        ICaptureAudio audio,
        int channel,
        double frequencyHz,
        CancellationToken cancellation
    )
    {
        var signal = new WorkingChannel(audio, channel);
        var transform = new RealTransform(TransformFrames);
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        var power = new double[transform.BinCount];
        var frames = new float[TransformFrames];
        var binHz = WorkingChannel.RateHz / TransformFrames;
        var low = (int)Math.Floor(frequencyHz * (1 - ReachShare) / binHz);
        var high = (int)Math.Ceiling(frequencyHz * (1 + ReachShare) / binHz);
        var found = new List<(double From, double To, double FrequencyHz)>();
        var (start, last, sum, count) = (-1.0, -1.0, 0.0, 0);
        for (long frame = 0; frame < signal.FrameCount; frame += HopFrames)
        {
            if (frame % (HopFrames * 256L) == 0)
                cancellation.ThrowIfCancellationRequested();
            signal.Read(frame, frames);
            if (Tone() is not { } hz)
                continue;
            // The middle of the window.
            var at = (frame + TransformFrames / 2) / WorkingChannel.RateHz;
            if (start >= 0 && at - last > LongestGapSeconds)
                Finish();
            if (start < 0)
                (start, sum, count) = (at, 0, 0);
            (last, sum, count) = (at, sum + hz, count + 1);
        }
        Finish();
        return found;

        void Finish()
        {
            if (start >= 0 && last - start >= ShortestSeconds)
                found.Add((start, last, sum / count));
            start = -1;
        }

        double? Tone()
        {
            for (var i = 0; i < frames.Length; i++)
                frames[i] *= (float)(0.5 - 0.5 * Math.Cos(2 * Math.PI * (i + 0.5) / frames.Length));
            transform.Forward(frames, re, im);
            var total = 0.0;
            for (var k = 1; k < power.Length; k++)
                total += power[k] = (double)re[k] * re[k] + (double)im[k] * im[k];
            var peak = low;
            for (var k = low; k <= high; k++)
            {
                if (power[k] > power[peak])
                    peak = k;
            }
            double own = 0;
            double moment = 0;
            for (var k = peak - 2; k <= peak + 2; k++)
                (own, moment) = (own + power[k], moment + power[k] * k);
            return own > LeastShare * total && Conversions.PowerToDb(total) > -80 ? moment / own * binHz : null;
        }
    }
}
