namespace Offtape.Passes.Listening;

/// <summary>
/// The level of a working signal over time: mean square in windows of 10 ms, smoothed over 40 ms, in dB re full-scale amplitude 1. Times
/// are frames ÷ 16 000 whatever speed the signal is read at, as everywhere in following.
/// </summary>
internal sealed class LevelCurve
{
    internal const double StepSeconds = 0.01;
    internal const int StepFrames = (int)(StepSeconds * WorkingSignal.UsualRateHz);

    private readonly float[] _db;

    internal LevelCurve(float[] db, double peakDb) => (_db, PeakDb) = (db, peakDb);

    /// <summary>Loudest point; −200 for silence.</summary>
    internal double PeakDb { get; }

    internal int Count => _db.Length;

    /// <summary>The same level, heard backwards.</summary>
    internal LevelCurve Backwards()
    {
        var db = (float[])_db.Clone();
        Array.Reverse(db);
        return new LevelCurve(db, PeakDb);
    }

    internal float this[int index] => _db[index];

    /// <summary>Level at a time; outside the signal −200.</summary>
    internal double DbAt(double seconds)
    {
        var index = (int)Math.Floor(seconds / StepSeconds);
        return index < 0 || index >= _db.Length ? -200 : _db[index];
    }

    internal static LevelCurve Of(WorkingSignal signal, CancellationToken cancellation)
    {
        var builder = new LevelCurveBuilder();
        var block = new float[StepFrames * 64];
        for (long start = 0; start < signal.FrameCount; start += block.Length)
        {
            cancellation.ThrowIfCancellationRequested();
            signal.Read(start, block);
            builder.Add(block.AsSpan(0, (int)Math.Min(block.Length, signal.FrameCount - start)));
        }
        return builder.Build();
    }
}

/// <summary>Makes a <see cref="LevelCurve"/> from frames in order.</summary>
internal sealed class LevelCurveBuilder
{
    private readonly List<float> _power = [];
    private double _sum;
    private int _filled;

    internal void Add(ReadOnlySpan<float> frames)
    {
        foreach (var value in frames)
        {
            _sum += (double)value * value;
            if (++_filled < LevelCurve.StepFrames)
                continue;
            _power.Add((float)(_sum / LevelCurve.StepFrames));
            (_sum, _filled) = (0, 0);
        }
    }

    internal LevelCurve Build()
    {
        if (_filled > 0)
            _power.Add((float)(_sum / LevelCurve.StepFrames));
        var db = new float[_power.Count];
        var peak = -200.0;
        for (var i = 0; i < db.Length; i++)
        {
            double sum = 0;
            var n = 0;
            for (var k = Math.Max(0, i - 1); k <= Math.Min(db.Length - 1, i + 2); k++, n++)
                sum += _power[k];
            db[i] = (float)(10 * Math.Log10(sum / n + 1e-20));
            peak = Math.Max(peak, db[i]);
        }
        return new LevelCurve(db, peak);
    }
}
