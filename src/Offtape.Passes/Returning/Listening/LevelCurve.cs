namespace Offtape.Passes.Listening;

/// <summary>
/// The level of a working signal over time: mean square in windows of 10 ms, smoothed over 40 ms, in dB re full-scale amplitude 1. Times
/// are frames ÷ 16 000 whatever speed the signal is read at, as everywhere in following.
/// </summary>
internal sealed class LevelCurve
{
    internal const double StepSeconds = 0.01;

    private readonly float[] _db;

    private LevelCurve(float[] db, double peakDb) => (_db, PeakDb) = (db, peakDb);

    /// <summary>Loudest point; −200 for silence.</summary>
    internal double PeakDb { get; }

    internal int Count => _db.Length;

    internal double LengthSeconds => _db.Length * StepSeconds;

    /// <summary>Level at a time; outside the signal −200.</summary>
    internal double DbAt(double seconds)
    {
        var index = (int)Math.Floor(seconds / StepSeconds);
        return index < 0 || index >= _db.Length ? -200 : _db[index];
    }

    /// <summary>The same level, heard backwards.</summary>
    internal LevelCurve Backwards()
    {
        var db = (float[])_db.Clone();
        Array.Reverse(db);
        return new LevelCurve(db, PeakDb);
    }

    internal float this[int index] => _db[index];

    internal static LevelCurve Of(WorkingSignal signal, CancellationToken cancellation)
    {
        const int window = (int)(StepSeconds * WorkingSignal.UsualRateHz);
        var count = (int)((signal.FrameCount + window - 1) / window);
        var power = new double[count];
        var block = new float[window * 64];
        for (var i = 0; i < count; i += 64)
        {
            cancellation.ThrowIfCancellationRequested();
            signal.Read((long)i * window, block);
            for (var k = 0; k < 64 && i + k < count; k++)
            {
                double sum = 0;
                foreach (var value in block.AsSpan(k * window, window))
                    sum += (double)value * value;
                power[i + k] = sum / window;
            }
        }
        var db = new float[count];
        var peak = -200.0;
        for (var i = 0; i < count; i++)
        {
            double sum = 0;
            var n = 0;
            for (var k = Math.Max(0, i - 1); k <= Math.Min(count - 1, i + 2); k++, n++)
                sum += power[k];
            db[i] = (float)(10 * Math.Log10(sum / n + 1e-20));
            peak = Math.Max(peak, db[i]);
        }
        return new LevelCurve(db, peak);
    }
}
