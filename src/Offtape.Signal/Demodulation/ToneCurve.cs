namespace Offtape.Signal;

/// <summary>
/// The frequency of a recorded tone from moment to moment, with what noise alone would make of it. Value i stands
/// <see cref="StartSeconds"/> + i ÷ <see cref="RateHz"/> after the first frame that was given.
/// </summary>
public sealed class ToneCurve
{
    private readonly ToneBand _band;

    internal ToneCurve(ToneBand band, double startSeconds, double[] frequencyHz, double[] levelNepers, bool[] isGap) =>
        (_band, StartSeconds, FrequencyHz, LevelNepers, IsGap) = (band, startSeconds, frequencyHz, levelNepers, isGap);

    public double StartSeconds { get; }

    /// <summary>Values in a second, at least 2400 from any recording of 4800 Hz or more.</summary>
    public double RateHz => _band.RateHz;

    /// <summary>Changes of frequency are whole up to here and gone at one and a half times as much; 200 Hz for tones from 600 Hz up.</summary>
    public double BandHz => _band.BandHz;

    /// <summary>Frequency of the tone, whole from 0 to <see cref="BandHz"/>; a straight line across gaps. Not to be written to.</summary>
    public double[] FrequencyHz { get; }

    /// <summary>
    /// The same with all channels counting alike, for what is slow: tape that wanders across the heads brings the channels together and apart by
    /// microseconds, and a mean by noise alone would follow now one and now the other. Not to be written to.
    /// </summary>
    public required double[] AlikeHz { get; init; }

    /// <summary>Logarithm of the tone's amplitude against its median, in the same band. Not to be written to.</summary>
    public double[] LevelNepers { get; }

    /// <summary>The tone was not there, or a click was on it: bridged, and not to be counted. Not to be written to.</summary>
    public bool[] IsGap { get; }

    public double LengthSeconds => FrequencyHz.Length / RateHz;

    public double GapSeconds => IsGap.Count(g => g) / RateHz;

    /// <summary>
    /// Density of the phase noise that adds itself to the tone, in radians² per hertz, one-sided; the noise of the frequency at f Hz is f²
    /// times as dense, in hertz² per hertz.
    /// </summary>
    public required double PhaseNoiseDensity { get; init; }

    /// <summary>Tone against the noise of 10 kHz, were it all as dense as near the tone, in dB.</summary>
    public double SignalToNoiseDb => 10 * Math.Log10(1 / (Math.Max(PhaseNoiseDensity, 1e-30) * 10_000));

    /// <summary>A curve that this noise alone would give, for a reading's floor and spread; the same seed gives the same curve.</summary>
    public double[] DrawNoise(int seed)
    {
        var random = new Random(seed);
        var phase = new double[FrequencyHz.Length + _band.After.Length];
        // A one-sided density over half of the rate. Where the tone is weaker than usual, its noise is stronger by as much.
        var sigmaTurns = Math.Sqrt(PhaseNoiseDensity * RateHz / 2) / (2 * Math.PI);
        var lost = _band.After.Length / 2;
        for (var i = 0; i < phase.Length; i += 2)
        {
            // Box and Muller.
            var radius = sigmaTurns * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble()));
            var (sine, cosine) = Math.SinCos(2 * Math.PI * random.NextDouble());
            phase[i] = radius * cosine * Strength(i - lost);
            if (i + 1 < phase.Length)
                phase[i + 1] = radius * sine * Strength(i + 1 - lost);
        }
        var steps = new double[phase.Length - 1];
        for (var i = 0; i < steps.Length; i++)
            steps[i] = (phase[i + 1] - phase[i]) * RateHz;
        return ToneSmoother.OfSteps(steps, _band);
    }

    private double Strength(int index) => Math.Exp(-LevelNepers[Math.Clamp(index, 0, LevelNepers.Length - 1)]);
}
