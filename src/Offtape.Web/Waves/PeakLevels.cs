namespace Offtape.Web.Waves;

/// <summary>
/// How the peaks of a file lie in levels: each level keeps, for every bin of so many frames and every channel, the least and the greatest
/// sample. A bin of one level is four of the level below; the last bin of a level may hold fewer frames.
/// </summary>
/// <param name="FrameCount">Frames of the file.</param>
/// <param name="ChannelCount">Channels of the file.</param>
internal readonly record struct PeakLevels(long FrameCount, int ChannelCount)
{
    /// <summary>Frames in a bin of the finest level; below that a drawing asks for the samples themselves.</summary>
    public const int FinestBinFrames = 128;

    /// <summary>Bins of one level in a bin of the next.</summary>
    public const int Factor = 4;

    // A drawing of a whole file has about as many columns.
    private const int CoarsestBins = 1024;

    /// <summary>Levels from the finest to the first that a window shows whole; at least one.</summary>
    public int Count
    {
        get
        {
            var count = 1;
            while (BinCount(count - 1) > CoarsestBins)
                count++;
            return count;
        }
    }

    /// <summary>Frames in a bin of a level, 0 being the finest.</summary>
    public static long BinFrames(int level)
    {
        long frames = FinestBinFrames;
        for (var i = 0; i < level; i++)
            frames *= Factor;
        return frames;
    }

    public long BinCount(int level) => (FrameCount + BinFrames(level) - 1) / BinFrames(level);

    /// <summary>Values of a level: two for each channel of each bin.</summary>
    public long ValueCount(int level) => BinCount(level) * ValuesPerBin;

    public int ValuesPerBin => 2 * ChannelCount;
}
