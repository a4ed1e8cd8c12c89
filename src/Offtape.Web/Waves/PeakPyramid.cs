namespace Offtape.Web.Waves;

/// <summary>
/// The peaks of a file in levels, filled from its beginning while the file is read. One thread fills it; others may read what is known so
/// far at the same time.
/// </summary>
internal sealed class PeakPyramid
{
    private readonly float[][] _levels;
    private long _knownFrames;

    public PeakPyramid(PeakLevels levels, int sampleRateHz)
    {
        (Levels, SampleRateHz) = (levels, sampleRateHz);
        _levels = [.. Enumerable.Range(0, levels.Count).Select(l => new float[levels.ValueCount(l)])];
    }

    public PeakLevels Levels { get; }

    public int SampleRateHz { get; }

    /// <summary>Frames of which the peaks are known, from the beginning.</summary>
    public long KnownFrames => Volatile.Read(ref _knownFrames);

    public bool IsWhole => KnownFrames == Levels.FrameCount;

    public long ByteCount => _levels.Sum(l => 4L * l.Length);

    /// <summary>Bins of a level that will not change any more.</summary>
    public long KnownBins(int level)
    {
        var known = KnownFrames;
        return known == Levels.FrameCount ? Levels.BinCount(level) : known / PeakLevels.BinFrames(level);
    }

    /// <summary>Least and greatest sample of each channel, bin by bin: those that are known of the ones asked for.</summary>
    public ReadOnlyMemory<float> Read(int level, long fromBin, int binCount)
    {
        var known = KnownBins(level);
        var from = Math.Clamp(fromBin, 0, known);
        var count = Math.Clamp(binCount, 0, known - from);
        return _levels[level].AsMemory((int)(from * Levels.ValuesPerBin), (int)(count * Levels.ValuesPerBin));
    }

    /// <summary>The whole of a level, for keeping it in a file.</summary>
    public Span<float> WholeLevel(int level) => _levels[level];

    /// <summary>Takes a pyramid that was read from its file as whole.</summary>
    public void MarkWhole() => Volatile.Write(ref _knownFrames, Levels.FrameCount);

    /// <summary>Takes in the next frames: whole bins of the finest level, except at the end of the file.</summary>
    public void Add(ReadOnlySpan<float> interleaved)
    {
        var (channels, width) = (Levels.ChannelCount, Levels.ValuesPerBin);
        var frames = interleaved.Length / channels;
        var end = _knownFrames + frames;
        if (end < Levels.FrameCount && frames % PeakLevels.FinestBinFrames != 0)
            throw new ArgumentException("Bins come whole.", nameof(interleaved));
        for (var done = 0; done < frames; done += PeakLevels.FinestBinFrames)
        {
            var bin = (_knownFrames + done) / PeakLevels.FinestBinFrames;
            var count = Math.Min(PeakLevels.FinestBinFrames, frames - done);
            PeakScan.Of(interleaved.Slice(done * channels, count * channels), channels, _levels[0].AsSpan((int)(bin * width), width));
        }
        for (var level = 1; level < _levels.Length; level++)
        {
            var size = PeakLevels.BinFrames(level);
            var last = end == Levels.FrameCount ? Levels.BinCount(level) : end / size;
            for (var bin = _knownFrames / size; bin < last; bin++)
            {
                var below = bin * PeakLevels.Factor;
                var count = Math.Min(PeakLevels.Factor, Levels.BinCount(level - 1) - below);
                PeakScan.Join(
                    _levels[level - 1].AsSpan((int)(below * width), (int)(count * width)),
                    channels,
                    _levels[level].AsSpan((int)(bin * width), width)
                );
            }
        }
        Volatile.Write(ref _knownFrames, end);
    }
}
