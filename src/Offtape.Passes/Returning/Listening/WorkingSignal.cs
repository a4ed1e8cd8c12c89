using Offtape.AudioFiles;
using Offtape.Signal;

namespace Offtape.Passes.Listening;

/// <summary>
/// A file as the finder and the follower hear it: one channel (or the mean of several), at a working rate, forwards or backwards, read on
/// demand and kept in a small cache, so that memory does not grow with the file. Frame k stands for k ÷ rate seconds of the signal heard
/// in this direction; frames before the beginning and after the end are silence.
/// </summary>
/// <remarks>Only for listening: takes are always made from the file itself. Not thread-safe; each thread opens its own.</remarks>
internal sealed class WorkingSignal
{
    /// <summary>Enough for everything up to 7 kHz, which every machine passes.</summary>
    internal const double UsualRateHz = 16_000;

    private const int ChunkFrames = 1 << 14;
    private const int ChunkSlots = 4;

    private readonly IAudioReader _reader;
    private readonly int[] _channels;
    private readonly float[] _weights;
    private readonly double _step;
    private readonly int _margin;
    private readonly Dictionary<long, float[]> _chunks = [];
    private readonly Queue<long> _order = new();
    private float[] _interleaved = [];
    private float[] _mono = [];

    /// <param name="reader">Not owned.</param>
    /// <param name="channels">0-based; their weighted sum is heard.</param>
    /// <param name="weights">One for each channel; null for the mean.</param>
    /// <param name="workingRateHz">Frames of this signal per second of the file.</param>
    /// <param name="isReversed">True: frame 0 is the file's last frame.</param>
    internal WorkingSignal(
        IAudioReader reader,
        IReadOnlyList<int> channels,
        IReadOnlyList<double>? weights = null,
        double workingRateHz = UsualRateHz,
        bool isReversed = false
    )
    {
        _reader = reader;
        _channels = [.. channels];
        _weights = weights is null ? [.. channels.Select(_ => 1f / channels.Count)] : [.. weights.Select(w => (float)w)];
        WorkingRateHz = workingRateHz;
        IsReversed = isReversed;
        _step = reader.Format.SampleRateHz / workingRateHz;
        _margin = Retimer.HalfWidthFrames(_step) + 1;
        FrameCount = (long)Math.Floor((reader.FrameCount - 1) / _step) + 1;
        LengthSeconds = (double)reader.FrameCount / reader.Format.SampleRateHz;
    }

    internal double WorkingRateHz { get; }

    internal bool IsReversed { get; }

    internal long FrameCount { get; }

    /// <summary>Length of the file.</summary>
    internal double LengthSeconds { get; }

    /// <summary>File seconds of a time in this signal: the same forwards, counted from the last frame backwards.</summary>
    internal double ToFileSeconds(double seconds) =>
        IsReversed ? (double)(_reader.FrameCount - 1) / _reader.Format.SampleRateHz - seconds : seconds;

    /// <summary>Fills the whole span with the frames from <paramref name="startFrame"/> on; outside the file silence.</summary>
    internal void Read(long startFrame, Span<float> output)
    {
        var done = 0;
        while (done < output.Length)
        {
            var frame = startFrame + done;
            var chunk = Math.DivRem(frame, ChunkFrames, out var within);
            if (within < 0)
                (chunk, within) = (chunk - 1, within + ChunkFrames);
            var count = (int)Math.Min(output.Length - done, ChunkFrames - within);
            var target = output.Slice(done, count);
            if (frame + count <= 0 || frame >= FrameCount)
                target.Clear();
            else
                Chunk(chunk).AsSpan((int)within, count).CopyTo(target);
            done += count;
        }
    }

    private float[] Chunk(long index)
    {
        if (_chunks.TryGetValue(index, out var known))
            return known;
        float[] chunk;
        if (_order.Count >= ChunkSlots)
        {
            var oldest = _order.Dequeue();
            chunk = _chunks[oldest];
            _chunks.Remove(oldest);
        }
        else
        {
            chunk = new float[ChunkFrames];
        }
        Fill(index * ChunkFrames, chunk);
        _chunks[index] = chunk;
        _order.Enqueue(index);
        return chunk;
    }

    private void Fill(long startFrame, float[] chunk)
    {
        // Position in file frames of the chunk's first frame and the way from one to the next.
        var first = IsReversed ? _reader.FrameCount - 1 - startFrame * _step : startFrame * _step;
        var step = IsReversed ? -_step : _step;
        var last = first + (ChunkFrames - 1) * step;
        var from = Math.Max(0, (long)Math.Floor(Math.Min(first, last)) - _margin);
        var toExcl = Math.Min(_reader.FrameCount, (long)Math.Ceiling(Math.Max(first, last)) + _margin + 1);
        if (toExcl <= from)
        {
            Array.Clear(chunk);
            return;
        }
        var count = (int)(toExcl - from);
        var channelCount = _reader.Format.ChannelCount;
        if (_interleaved.Length < count * channelCount)
            (_interleaved, _mono) = (new float[count * channelCount], new float[count]);
        var read = _reader.Read(from, _interleaved.AsSpan(0, count * channelCount));
        var mono = _mono.AsSpan(0, read);
        mono.Clear();
        for (var c = 0; c < _channels.Length; c++)
        {
            var weight = _weights[c];
            for (int i = 0, j = _channels[c]; i < mono.Length; i++, j += channelCount)
                mono[i] += weight * _interleaved[j];
        }
        Retimer.RenderFixed(mono, from, first, step, chunk);
        if (startFrame < 0)
            Array.Clear(chunk, 0, (int)Math.Min(ChunkFrames, -startFrame));
        var past = startFrame + ChunkFrames - FrameCount;
        if (past > 0)
            Array.Clear(chunk, ChunkFrames - (int)Math.Min(ChunkFrames, past), (int)Math.Min(ChunkFrames, past));
    }
}
