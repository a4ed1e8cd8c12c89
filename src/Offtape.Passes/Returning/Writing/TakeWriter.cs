using Offtape.AudioFiles;
using Offtape.Base;
using Offtape.Passes.Listening;
using Offtape.Passes.Mapping;
using Offtape.Signal;

namespace Offtape.Passes.Writing;

/// <summary>Writes takes: by whole samples as captured, or retimed with level, polarity, channels and delay put right.</summary>
internal sealed class TakeWriter(ReturnRequest request)
{
    private const int BlockFrames = 1 << 14;

    /// <summary>What the retimer reads at most from one frame to the next.</summary>
    internal const double SteepestStepFrames = 64;

    /// <summary>Writes one take in one retiming.</summary>
    /// <param name="plan">The take.</param>
    /// <param name="retiming">Which.</param>
    /// <param name="path">Where to.</param>
    /// <param name="lengthSeconds">Length of the take without its head.</param>
    /// <param name="written">Called with the seconds written so far.</param>
    /// <param name="cancellation">Stops it; nothing stays then.</param>
    /// <returns>How many samples were clipped on writing.</returns>
    internal long Write(
        TakePlan plan,
        Retiming retiming,
        string path,
        double lengthSeconds,
        Action<double> written,
        CancellationToken cancellation
    ) =>
        retiming == Retiming.Shift
            ? Copy(plan, retiming, path, lengthSeconds, written, cancellation)
            : Render(plan, retiming, path, lengthSeconds, written, cancellation);

    private long Copy(
        TakePlan plan,
        Retiming retiming,
        string path,
        double lengthSeconds,
        Action<double> written,
        CancellationToken cancellation
    )
    {
        using var reader = plan.Take.Capture.Recording.Open();
        var channels = plan.Channels.Channels.Select(c => c.CaptureChannel).ToArray();
        // Which channels there are is a choice, in which order they stand is reported only.
        Array.Sort(channels);
        var rate = reader.Format.SampleRateHz;
        var start = StartOfShift(plan, rate) - Conversions.SecondsToFrames(request.HeadSeconds, rate);
        var heard = Math.Abs(plan.Take.EndCaptureSeconds - plan.Take.StartCaptureSeconds);
        var frameCount = Conversions.SecondsToFrames(Math.Max(lengthSeconds, heard + request.TailSeconds) + request.HeadSeconds, rate);
        var format = new AudioFormat(rate, channels.Length, reader.Format.Encoding);
        var options = new WriteOptions { Replace = request.Force, Dither = false };
        using var writer = AudioWriter.Create(path, format, Metadata(plan, retiming, format), options);
        var all = new double[BlockFrames * reader.Format.ChannelCount];
        var picked = new double[BlockFrames * channels.Length];
        for (long done = 0; done < frameCount; done += BlockFrames)
        {
            cancellation.ThrowIfCancellationRequested();
            var count = (int)Math.Min(BlockFrames, frameCount - done);
            Array.Clear(all);
            ReadOrSilence(reader, start + done, all.AsSpan(0, count * reader.Format.ChannelCount));
            for (var f = 0; f < count; f++)
            {
                for (var c = 0; c < channels.Length; c++)
                    picked[f * channels.Length + c] = all[f * reader.Format.ChannelCount + channels[c]];
            }
            writer.WriteExact(picked.AsSpan(0, count * channels.Length));
            written((double)(done + count) / rate);
        }
        writer.Complete();
        return writer.ClippedSampleCount;
    }

    /// <summary>The capture frame that a shifted take begins with: the earlier end of the sound, to the nearest frame.</summary>
    internal static long StartOfShift(TakePlan plan, int captureRateHz) =>
        Conversions.SecondsToFrames(Math.Min(plan.Take.StartCaptureSeconds, plan.Take.EndCaptureSeconds), captureRateHz);

    private static void ReadOrSilence(IAudioReader reader, long startFrame, Span<double> interleaved)
    {
        var channelCount = reader.Format.ChannelCount;
        var skip = (int)Math.Clamp(-startFrame, 0, interleaved.Length / channelCount);
        if (skip * channelCount < interleaved.Length && startFrame + skip < reader.FrameCount)
            reader.ReadExact(startFrame + skip, interleaved[(skip * channelCount)..]);
    }

    private long Render(
        TakePlan plan,
        Retiming retiming,
        string path,
        double lengthSeconds,
        Action<double> written,
        CancellationToken cancellation
    )
    {
        using var reader = plan.Take.Capture.Recording.Open();
        var captureRate = reader.Format.SampleRateHz;
        var rate = request.SampleRateHz ?? plan.Source.Recording.Format.SampleRateHz;
        var format = new AudioFormat(rate, plan.Channels.Channels.Length, request.Encoding ?? SampleEncoding.Float32);
        var time = TakeTime.Of(plan.Take, plan.Handling, retiming, request.CornerHz, request.FlattenRides, request.AsPrinted);
        var leaps = new LeapFader(time, reader, rate);
        var head = Conversions.SecondsToFrames(request.HeadSeconds, rate);
        var frameCount = head + Conversions.SecondsToFrames(lengthSeconds, rate);
        var voices = Voices(plan, captureRate);
        using var bleeds = new BleedCancellers(plan.Bleeds, captureRate);
        using var writer = AudioWriter.Create(path, format, Metadata(plan, retiming, format), new WriteOptions { Replace = request.Force });
        var output = new float[BlockFrames * voices.Length];
        var mono = new float[BlockFrames];
        var positions = new double[BlockFrames];
        float[] interleaved = [],
            channel = [];
        // A straight map is one multiplication a frame over the whole take, so that blocks join exactly.
        var origin = time.CaptureAt(-(double)head / rate) * captureRate;
        var step = (time.CaptureAt(1) - time.CaptureAt(0)) * captureRate / rate;
        for (long done = 0; done < frameCount; done += BlockFrames)
        {
            cancellation.ThrowIfCancellationRequested();
            var count = (int)Math.Min(BlockFrames, frameCount - done);
            var (low, high, largest) = Positions(time, positions.AsSpan(0, count), done, head, rate, captureRate, origin, step);
            // However steep a map is, it is written: what stands for a crawling tape has no treble to lose.
            var bandwidth = Retimer.BandwidthForStep(Math.Min(largest, SteepestStepFrames));
            var margin = Retimer.HalfWidthFramesForBandwidth(bandwidth) + (int)Math.Ceiling(voices.Max(v => Math.Abs(v.DelayFrames))) + 2;
            var from = (long)Math.Floor(low) - margin;
            var span = (int)(Math.Ceiling(high) - from) + margin + 1;
            if (channel.Length < span)
                (interleaved, channel) = (new float[span * reader.Format.ChannelCount], new float[span]);
            var frames = interleaved.AsSpan(0, span * reader.Format.ChannelCount);
            frames.Clear();
            var skip = (int)Math.Clamp(-from, 0, span);
            if (skip < span && from + skip < reader.FrameCount)
                reader.Read(from + skip, frames[(skip * reader.Format.ChannelCount)..]);
            for (var v = 0; v < voices.Length; v++)
            {
                var voice = voices[v];
                for (int i = 0, j = voice.Channel; i < span; i++, j += reader.Format.ChannelCount)
                    channel[i] = frames[j];
                bleeds.Subtract(voice.Channel, from, channel.AsSpan(0, span));
                if (time.IsStraight)
                {
                    Retimer.RenderFixed(channel.AsSpan(0, span), from, origin + voice.DelayFrames, step, mono.AsSpan(0, count), done);
                }
                else
                {
                    for (var i = 0; i < count; i++)
                        positions[i] += voice.DelayFrames;
                    Retimer.Render(channel.AsSpan(0, span), from, positions.AsSpan(0, count), bandwidth, mono.AsSpan(0, count));
                    for (var i = 0; i < count; i++)
                        positions[i] -= voice.DelayFrames;
                }
                leaps.Fade(mono.AsSpan(0, count), done - head, voice.Channel, voice.DelayFrames);
                for (var i = 0; i < count; i++)
                    output[i * voices.Length + v] = mono[i] * voice.Gain;
            }
            writer.Write(output.AsSpan(0, count * voices.Length));
            written((double)(done + count) / rate);
        }
        writer.Complete();
        return writer.ClippedSampleCount;
    }

    private static (double Low, double High, double LargestStep) Positions(
        TakeTime time,
        Span<double> positions,
        long done,
        long head,
        int rate,
        int captureRate,
        double origin,
        double step
    )
    {
        if (time.IsStraight)
        {
            var (a, b) = (origin + done * step, origin + (done + positions.Length - 1) * step);
            return (Math.Min(a, b), Math.Max(a, b), Math.Abs(step));
        }
        double low = double.MaxValue,
            high = double.MinValue,
            largest = 1e-3;
        // The map bends over milliseconds: exact at every 16th frame, a straight line between.
        const int stride = 16;
        for (var i = 0; i < positions.Length; i += stride)
        {
            var end = Math.Min(i + stride, positions.Length);
            var a = time.CaptureAt((double)(done + i - head) / rate) * captureRate;
            var b = time.CaptureAt((double)(done + i + stride - head) / rate, (double)(done + i - head) / rate) * captureRate;
            for (var k = i; k < end; k++)
                positions[k] = a + (b - a) * (k - i) / stride;
            largest = Math.Max(largest, Math.Abs(b - a) / stride);
            (low, high) = (Math.Min(low, Math.Min(a, b)), Math.Max(high, Math.Max(a, b)));
        }
        return (low, high, largest);
    }

    private sealed record Voice(int Channel, float Gain, double DelayFrames);

    private Voice[] Voices(TakePlan plan, int captureRate)
    {
        var gain = Conversions.DbToAmplitude(-plan.SendGainDb);
        if (request.MatchLevel)
            gain = 1 / Math.Max(plan.Channels.Channels.Average(c => c.Gain), 1e-6);
        var reference = plan.Channels.Channels[0].DelaySeconds;
        var order = plan.Channels.Channels.Select(c => c.CaptureChannel).ToArray();
        if (request.KeepChannels)
            Array.Sort(order);
        return
        [
            .. order.Select(channel =>
            {
                var match = plan.Channels.Channels.First(c => c.CaptureChannel == channel);
                var polarity = request.KeepPolarity ? 1 : match.Polarity;
                var delay = request.KeepDelay ? 0 : match.DelaySeconds - reference;
                return new Voice(channel, (float)(gain * polarity), delay * captureRate);
            }),
        ];
    }

    private AudioMetadata Metadata(TakePlan plan, Retiming retiming, AudioFormat format)
    {
        var origin = new TakeOrigin
        {
            PassId = plan.PassId,
            Source = plan.SourceName,
            SourceSha256 = plan.SourceSha256,
            Retiming = ReturnJob.FolderOf(retiming),
        };
        return origin.Into(Placed(plan, format.SampleRateHz), format);
    }

    private AudioMetadata Placed(TakePlan plan, int rateHz)
    {
        var source = plan.Source.Recording;
        var metadata = source.Metadata.ForChangedAudio();
        if (source.Metadata.TimeReferenceFrames is not { } reference)
            return metadata;
        var seconds = (double)reference / source.Format.SampleRateHz - request.HeadSeconds;
        return metadata with
        {
            TimeReferenceFrames = Math.Max(
                0,
                rateHz == source.Format.SampleRateHz && request.HeadSeconds == 0 ? reference : Conversions.SecondsToFrames(seconds, rateHz)
            ),
        };
    }
}
