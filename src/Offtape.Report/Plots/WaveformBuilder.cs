namespace Offtape.Report;

/// <summary>
/// Gathers the envelope of a stretch of audio that comes block by block. Column c holds the frames f with ⌊f · columns ÷ frames⌋ = c, so
/// where the blocks end makes no difference. Samples that are not finite are passed over; a column with none at all reads zero.
/// </summary>
public sealed class WaveformBuilder
{
    private readonly long _frameCount;
    private readonly float[] _minima;
    private readonly float[] _maxima;
    private long _nextFrame;

    /// <param name="frameCount">How many frames the whole stretch has, at least 0.</param>
    /// <param name="columnCount">How many columns at most, at least 1.</param>
    public WaveformBuilder(long frameCount, int columnCount)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(frameCount);
        ArgumentOutOfRangeException.ThrowIfLessThan(columnCount, 1);
        _frameCount = frameCount;
        var columns = (int)Math.Min(frameCount, columnCount);
        _minima = new float[columns];
        _maxima = new float[columns];
        Reset();
    }

    /// <summary>Begins again with the first frame.</summary>
    public void Reset()
    {
        _nextFrame = 0;
        Array.Fill(_minima, float.PositiveInfinity);
        Array.Fill(_maxima, float.NegativeInfinity);
    }

    /// <summary>The next frames of one channel. Frames beyond the stated count are passed over.</summary>
    public void Add(ReadOnlySpan<float> samples) => Add(samples, 1, 0);

    /// <summary>The next frames, one channel of interleaved audio.</summary>
    public void Add(ReadOnlySpan<float> interleaved, int channelCount, int channelIndex)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(channelCount, 1);
        ArgumentOutOfRangeException.ThrowIfNegative(channelIndex);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(channelIndex, channelCount);
        var frames = interleaved.Length / channelCount;
        var done = 0;
        while (done < frames && _nextFrame < _frameCount)
        {
            // A whole column's worth at a time: one division a column, not one a frame.
            var column = (int)((Int128)_nextFrame * _minima.Length / _frameCount);
            var columnEndExcl = (long)(((Int128)(column + 1) * _frameCount + _minima.Length - 1) / _minima.Length);
            var count = (int)Math.Min(frames - done, columnEndExcl - _nextFrame);
            var (least, greatest) = (_minima[column], _maxima[column]);
            for (var i = 0; i < count; i++)
            {
                var sample = interleaved[(done + i) * channelCount + channelIndex];
                if (!float.IsFinite(sample))
                    continue;
                least = Math.Min(least, sample);
                greatest = Math.Max(greatest, sample);
            }
            (_minima[column], _maxima[column]) = (least, greatest);
            done += count;
            _nextFrame += count;
        }
    }

    /// <summary>What has been gathered so far; columns without a frame read zero.</summary>
    /// <param name="sampleRateHz">Frames per second, above zero.</param>
    /// <param name="startSeconds">When the first frame is heard, on the axis of the plot.</param>
    public Waveform Build(double sampleRateHz, double startSeconds = 0)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(sampleRateHz);
        var minima = (float[])_minima.Clone();
        var maxima = (float[])_maxima.Clone();
        for (var i = 0; i < minima.Length; i++)
        {
            if (minima[i] > maxima[i])
                minima[i] = maxima[i] = 0;
        }
        var secondsPerColumn = minima.Length == 0 ? 0 : _frameCount / (minima.Length * sampleRateHz);
        return Waveform.FromColumns(startSeconds, secondsPerColumn, minima, maxima, isSamples: minima.Length == _frameCount);
    }
}
