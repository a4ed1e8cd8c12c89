namespace Offtape.Signal;

/// <summary>
/// A running second-order section: direct form II transposed, state and arithmetic in double whatever the audio. Causal, no latency
/// beyond the filter's own.
/// </summary>
public sealed class Biquad(BiquadCoefficients coefficients)
{
    // Below this the state is inaudible by hundreds of dB and on its way into denormals, which are slow on some machines.
    private const double StateFloor = 1e-200;

    private double _state1;
    private double _state2;

    public Biquad(double b0, double b1, double b2, double a1, double a2)
        : this(new BiquadCoefficients(b0, b1, b2, a1, a2)) { }

    public BiquadCoefficients Coefficients { get; } = coefficients;

    /// <summary>One sample through the filter.</summary>
    public double Process(double sample)
    {
        var (b0, b1, b2, a1, a2) = Coefficients;
        var y = b0 * sample + _state1;
        _state1 = b1 * sample - a1 * y + _state2;
        _state2 = b2 * sample - a2 * y;
        return y;
    }

    /// <summary>A block through the filter; output may be the input itself. Any division into blocks gives the same samples.</summary>
    public void Process(ReadOnlySpan<float> input, Span<float> output)
    {
        CheckLengths(input.Length, output.Length);
        var (b0, b1, b2, a1, a2) = Coefficients;
        var (state1, state2) = (_state1, _state2);
        for (var i = 0; i < input.Length; i++)
        {
            double x = input[i];
            var y = b0 * x + state1;
            state1 = b1 * x - a1 * y + state2;
            state2 = b2 * x - a2 * y;
            output[i] = (float)y;
        }
        (_state1, _state2) = (state1, state2);
        SettleState();
    }

    /// <summary>As the float form, for signals that need all their digits (weightings of small quantities).</summary>
    public void Process(ReadOnlySpan<double> input, Span<double> output)
    {
        CheckLengths(input.Length, output.Length);
        var (b0, b1, b2, a1, a2) = Coefficients;
        var (state1, state2) = (_state1, _state2);
        for (var i = 0; i < input.Length; i++)
        {
            var x = input[i];
            var y = b0 * x + state1;
            state1 = b1 * x - a1 * y + state2;
            state2 = b2 * x - a2 * y;
            output[i] = y;
        }
        (_state1, _state2) = (state1, state2);
        SettleState();
    }

    /// <summary>Back to silence, as newly made.</summary>
    public void Reset() => _state1 = _state2 = 0;

    private void SettleState()
    {
        if (Math.Abs(_state1) < StateFloor && Math.Abs(_state2) < StateFloor)
            Reset();
    }

    internal static void CheckLengths(int inputLength, int outputLength)
    {
        if (inputLength != outputLength)
            throw new ArgumentException(
                $"Input of {inputLength} and output of {outputLength} frames must be of one length.",
                nameof(outputLength)
            );
    }
}
