namespace Offtape.Report;

/// <summary>
/// What is drawn of a stretch of audio: the least and greatest sample of each column, or the samples themselves where there are fewer of
/// them than columns. Immutable.
/// </summary>
public sealed class Waveform
{
    private Waveform(double startSeconds, double secondsPerColumn, float[] minima, float[] maxima, bool isSamples)
    {
        StartSeconds = startSeconds;
        SecondsPerColumn = secondsPerColumn;
        Minima = minima;
        Maxima = maxima;
        IsSamples = isSamples;
    }

    /// <summary>Where the first column begins; with <see cref="IsSamples"/>, where the first sample stands.</summary>
    public double StartSeconds { get; }

    public double SecondsPerColumn { get; }

    public float[] Minima { get; }

    public float[] Maxima { get; }

    /// <summary>Each column is one sample, a point in time rather than a stretch.</summary>
    public bool IsSamples { get; }

    public int ColumnCount => Minima.Length;

    public double EndSeconds => StartSeconds + (IsSamples ? Math.Max(0, ColumnCount - 1) : ColumnCount) * SecondsPerColumn;

    public double Peak
    {
        get
        {
            var peak = 0.0;
            for (var i = 0; i < Minima.Length; i++)
                peak = Math.Max(peak, Math.Max(-Minima[i], Maxima[i]));
            return peak;
        }
    }

    /// <summary>Draws a stretch of one channel that is in memory.</summary>
    /// <param name="samples">The stretch to be shown, one channel, 1 = full scale.</param>
    /// <param name="sampleRateHz">Frames per second.</param>
    /// <param name="startSeconds">When the first sample is heard, on the axis of the plot.</param>
    /// <param name="columnCount">How many columns at most: about the width of the plot in pixels.</param>
    public static Waveform Of(ReadOnlySpan<float> samples, double sampleRateHz, double startSeconds = 0, int columnCount = 1200)
    {
        var builder = new WaveformBuilder(samples.Length, columnCount);
        builder.Add(samples);
        return builder.Build(sampleRateHz, startSeconds);
    }

    /// <summary>An envelope that was gathered elsewhere.</summary>
    /// <param name="startSeconds">When the first frame is heard, on the axis of the plot.</param>
    /// <param name="secondsPerColumn">Width of a column.</param>
    /// <param name="minima">The least sample of each column.</param>
    /// <param name="maxima">The greatest.</param>
    /// <param name="isSamples">Each column is one sample: drawn as a line.</param>
    public static Waveform FromColumns(double startSeconds, double secondsPerColumn, float[] minima, float[] maxima, bool isSamples) =>
        new(startSeconds, secondsPerColumn, minima, maxima, isSamples);
}
