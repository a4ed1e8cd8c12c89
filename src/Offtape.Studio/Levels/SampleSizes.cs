using Offtape.Base;

namespace Offtape.Studio;

/// <summary>How often each size of a sample occurs, in steps of a quarter of a decibel from −100 to +20 dBFS; smaller ones count as nothing.</summary>
public sealed class SampleSizes
{
    private const double LowestDb = -100;
    private const double StepDb = 0.25;
    private const int StepCount = 480;
    private readonly long[] _counts = new long[StepCount];

    // The logarithm is taken once for each step, not for each sample.
    private static readonly double[] Edges =
    [
        .. Enumerable.Range(0, StepCount).Select(i => Conversions.DbToAmplitude(LowestDb + i * StepDb)),
    ];

    public long TotalCount { get; private set; }

    public void Add(ReadOnlySpan<float> samples)
    {
        foreach (var sample in samples)
        {
            var place = Array.BinarySearch(Edges, Math.Abs(sample));
            var step = place >= 0 ? place : ~place - 1;
            if (step >= 0)
                _counts[step]++;
        }
        TotalCount += samples.Length;
    }

    /// <summary>Each size that occurs, in the middle of its step, and its share of all samples.</summary>
    public IEnumerable<(double Size, double Share)> Shares()
    {
        for (var i = 0; i < StepCount; i++)
        {
            if (_counts[i] > 0)
                yield return (Edges[i] * Conversions.DbToAmplitude(StepDb / 2), (double)_counts[i] / TotalCount);
        }
    }
}
