namespace Offtape.Signal;

/// <summary>
/// The detector of ITU-R BS.468-4: a full-wave rectifier and two peak rectifiers of different time constants in tandem, as its clause 2 suggests.
/// The Recommendation gives no time constants, it gives what bursts and trains of bursts must read; those below were fitted to the middle of
/// its windows. Causal; state in double.
/// </summary>
public sealed class QuasiPeakDetector
{
    private const double FirstRiseSeconds = 0.00145;
    private const double FirstFallSeconds = 0.297;
    private const double SecondRiseSeconds = 0.1415;
    private const double SecondFallSeconds = 0.156;

    private readonly double _firstRise;
    private readonly double _firstFall;
    private readonly double _secondRise;
    private readonly double _secondFall;
    private double _first;
    private double _second;

    public QuasiPeakDetector(double sampleRateHz)
    {
        _firstRise = Share(FirstRiseSeconds);
        _firstFall = Share(FirstFallSeconds);
        _secondRise = Share(SecondRiseSeconds);
        _secondFall = Share(SecondFallSeconds);

        double Share(double seconds) => -Math.Exp(-1 / (seconds * sampleRateHz)) + 1;
    }

    /// <summary>What the meter shows now, in units of the signal's peak; not calibrated.</summary>
    public double Value => _second;

    /// <summary>A block through the detector: what it shows after each sample. Output may be the input itself.</summary>
    public void Process(ReadOnlySpan<float> input, Span<float> reading)
    {
        Biquad.CheckLengths(input.Length, reading.Length);
        var (first, second) = (_first, _second);
        for (var i = 0; i < input.Length; i++)
        {
            double level = Math.Abs(input[i]);
            first += (level > first ? _firstRise : _firstFall) * (level - first);
            second += (first > second ? _secondRise : _secondFall) * (first - second);
            reading[i] = (float)second;
        }
        // Below this it is silence on its way into denormals.
        (_first, _second) = first < 1e-150 && second < 1e-150 ? (0, 0) : (first, second);
    }

    /// <summary>Back to silence, as newly made.</summary>
    public void Reset() => _first = _second = 0;
}
