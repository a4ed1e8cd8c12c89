using Offtape.Testing;

namespace Offtape.Passes.Tests.Mapping;

/// <summary>A noise-like sound that has a value at any time by its formula: many sines of random pitch, phase and level, peak about 1.</summary>
internal sealed class SumOfPartials
{
    private readonly (double Hertz, double Turn, double Level)[] _partials;

    internal SumOfPartials(ulong seed, int count, double lowHz, double highHz)
    {
        var random = new SplitMix64(seed);
        _partials =
        [
            .. Enumerable
                .Range(0, count)
                .Select(_ =>
                    (lowHz * Math.Pow(highHz / lowHz, random.Unit()), random.Unit(), (0.5 + random.Unit()) / (1.7 * Math.Sqrt(count)))
                ),
        ];
    }

    internal double At(double seconds)
    {
        double sum = 0;
        foreach (var (hertz, turn, level) in _partials)
            sum += level * Math.Sin(2 * Math.PI * (hertz * seconds + turn));
        return sum;
    }

    internal float[] Sampled(int frames, double rateHz, Func<double, double>? time = null)
    {
        var samples = new float[frames];
        for (var i = 0; i < frames; i++)
            samples[i] = (float)At(time?.Invoke(i / rateHz) ?? i / rateHz);
        return samples;
    }
}
