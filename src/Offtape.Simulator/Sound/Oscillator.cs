namespace Offtape.Simulator;

/// <summary>A sine, sample after sample, by turning a vector: far quicker than asking for each sine, and as good for some minutes.</summary>
internal struct Oscillator
{
    private readonly double _turnSine;
    private readonly double _turnCosine;
    private double _sine;
    private double _cosine;

    internal Oscillator(double frequencyHz, double phase, int sampleRateHz)
    {
        (_turnSine, _turnCosine) = Math.SinCos(2 * Math.PI * frequencyHz / sampleRateHz);
        (_sine, _cosine) = Math.SinCos(phase);
    }

    /// <summary>The sine now; the next call is one sample later.</summary>
    internal double Next()
    {
        var now = _sine;
        (_sine, _cosine) = (_sine * _turnCosine + _cosine * _turnSine, _cosine * _turnCosine - _sine * _turnSine);
        return now;
    }
}
