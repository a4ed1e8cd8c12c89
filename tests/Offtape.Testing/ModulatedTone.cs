namespace Offtape.Testing;

/// <summary>
/// A tone whose frequency wobbles as stated, written sample by sample from the integral of its frequency; closed forms, no filter and no
/// transform. With noise, hum, dropouts and clicks where they are asked for.
/// </summary>
public sealed record ModulatedTone
{
    public double FrequencyHz { get; init; } = 3150;

    public int SampleRateHz { get; init; } = 48_000;

    public double Seconds { get; init; } = 30;

    /// <summary>Peak; full scale is 1.</summary>
    public double Amplitude { get; init; } = 0.25;

    /// <summary>Sinusoidal modulations: rate, peak in per cent of the frequency, phase of the sine at the start in radians.</summary>
    public IReadOnlyList<(double Hz, double PeakPercent, double Phase)> Wobbles { get; init; } = [];

    /// <summary>Rise of frequency from the first frame to the last, in per cent.</summary>
    public double RisePercent { get; init; }

    /// <summary>Tone against white noise of 100 Hz to 10 kHz, in dB.</summary>
    public double SignalToNoiseDb { get; init; } = double.PositiveInfinity;

    /// <summary>Five mains harmonics, together this far under the tone, in dB.</summary>
    public double HumDb { get; init; } = double.NegativeInfinity;

    /// <summary>Dropouts: middle, length and depth, with raised-cosine flanks.</summary>
    public IReadOnlyList<(double AtSeconds, double LengthSeconds, double DepthDb)> Dropouts { get; init; } = [];

    /// <summary>Clicks of the tone's own height, two frames long.</summary>
    public IReadOnlyList<double> ClicksAtSeconds { get; init; } = [];

    public int Seed { get; init; } = 1;

    /// <summary>Deviation of the frequency from <see cref="FrequencyHz"/> at a moment, in per cent.</summary>
    public double DeviationPercentAt(double seconds) =>
        Wobbles.Sum(w => w.PeakPercent * Math.Sin(2 * Math.PI * w.Hz * seconds + w.Phase)) + RisePercent * seconds / Seconds;

    public float[] Make()
    {
        var random = new Random(Seed);
        var samples = new float[(int)(Seconds * SampleRateHz)];
        // A power of A²/2 against a density over 9900 Hz, spread from 0 to half of the rate.
        var noise = Amplitude * Math.Sqrt(Math.Pow(10, -SignalToNoiseDb / 10) / 2 / 9900 * SampleRateHz / 2);
        var hum = Amplitude * Math.Pow(10, HumDb / 20) / Math.Sqrt(5);
        for (var i = 0; i < samples.Length; i++)
        {
            var t = (double)i / SampleRateHz;
            var turns = FrequencyHz * (t + RisePercent / 100 * t * t / (2 * Seconds));
            foreach (var (hz, percent, phase) in Wobbles)
                turns += FrequencyHz * percent / 100 * (Math.Cos(phase) - Math.Cos(2 * Math.PI * hz * t + phase)) / (2 * Math.PI * hz);
            var value = Amplitude * LevelAt(t) * Math.Sin(2 * Math.PI * (turns - Math.Floor(turns)));
            if (noise > 0)
                value += noise * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
            for (var k = 1; k <= 5 && hum > 0; k++)
                value += hum * Math.Sin(2 * Math.PI * 50 * k * t + k);
            samples[i] = (float)value;
        }
        foreach (var at in ClicksAtSeconds)
        {
            samples[(int)(at * SampleRateHz)] += (float)Amplitude;
            samples[(int)(at * SampleRateHz) + 1] += (float)Amplitude;
        }
        return samples;
    }

    private double LevelAt(double seconds)
    {
        var level = 1.0;
        foreach (var (at, length, depthDb) in Dropouts)
        {
            var x = (seconds - at) / length;
            if (Math.Abs(x) < 1)
                level *= Math.Pow(10, -depthDb * (0.5 + 0.5 * Math.Cos(Math.PI * x)) / 20);
        }
        return level;
    }
}
