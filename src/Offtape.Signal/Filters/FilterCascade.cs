using System.Numerics;

namespace Offtape.Signal;

/// <summary>Sections one after another, running: what <see cref="FilterDesign"/> returns for steep filters. State in double.</summary>
public sealed class FilterCascade
{
    private readonly BiquadCoefficients[] _sections;
    private readonly double[] _state;

    public FilterCascade(params ReadOnlySpan<BiquadCoefficients> sections)
    {
        _sections = sections.ToArray();
        _state = new double[2 * sections.Length];
    }

    public IReadOnlyList<BiquadCoefficients> Sections => _sections;

    /// <summary>The complex response of the whole cascade.</summary>
    public Complex ResponseAt(double frequencyHz, double sampleRateHz)
    {
        var response = Complex.One;
        foreach (var section in _sections)
            response *= section.ResponseAt(frequencyHz, sampleRateHz);
        return response;
    }

    /// <summary>One sample through all sections.</summary>
    public double Process(double sample)
    {
        for (var k = 0; k < _sections.Length; k++)
        {
            var (b0, b1, b2, a1, a2) = _sections[k];
            var y = b0 * sample + _state[2 * k];
            _state[2 * k] = b1 * sample - a1 * y + _state[2 * k + 1];
            _state[2 * k + 1] = b2 * sample - a2 * y;
            sample = y;
        }
        return sample;
    }

    /// <summary>A block through all sections, in double between them; output may be the input itself.</summary>
    public void Process(ReadOnlySpan<float> input, Span<float> output)
    {
        Biquad.CheckLengths(input.Length, output.Length);
        for (var i = 0; i < input.Length; i++)
            output[i] = (float)Process(input[i]);
        SettleState();
    }

    public void Process(ReadOnlySpan<double> input, Span<double> output)
    {
        Biquad.CheckLengths(input.Length, output.Length);
        for (var i = 0; i < input.Length; i++)
            output[i] = Process(input[i]);
        SettleState();
    }

    /// <summary>Back to silence, as newly made.</summary>
    public void Reset() => Array.Clear(_state);

    private void SettleState()
    {
        foreach (var value in _state)
            if (Math.Abs(value) >= 1e-200)
                return;
        Array.Clear(_state);
    }
}
