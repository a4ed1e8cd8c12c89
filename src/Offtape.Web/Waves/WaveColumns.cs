using Offtape.Report;

namespace Offtape.Web.Waves;

/// <summary>A whole file in so many columns, out of its peaks: for the strip in a row of a table.</summary>
internal static class WaveColumns
{
    /// <param name="peaks">Whole.</param>
    /// <param name="columnCount">How many columns at most.</param>
    /// <param name="channel">The channel, from 0; the last where there are fewer.</param>
    public static Waveform Of(PeakPyramid peaks, int columnCount, int channel)
    {
        var levels = peaks.Levels;
        channel = Math.Min(channel, levels.ChannelCount - 1);
        var level = levels.Count - 1;
        while (level > 0 && levels.BinCount(level) < columnCount)
            level--;
        var bins = (int)levels.BinCount(level);
        var values = peaks.Read(level, 0, bins).Span;
        var columns = Math.Min(columnCount, bins);
        var (minima, maxima) = (new float[columns], new float[columns]);
        Array.Fill(minima, float.PositiveInfinity);
        Array.Fill(maxima, float.NegativeInfinity);
        for (var bin = 0; bin < bins; bin++)
        {
            var column = (int)((long)bin * columns / bins);
            minima[column] = Math.Min(minima[column], values[bin * levels.ValuesPerBin + 2 * channel]);
            maxima[column] = Math.Max(maxima[column], values[bin * levels.ValuesPerBin + 2 * channel + 1]);
        }
        var seconds = (double)levels.FrameCount / peaks.SampleRateHz / columns;
        return Waveform.FromColumns(0, seconds, minima, maxima, isSamples: false);
    }
}
