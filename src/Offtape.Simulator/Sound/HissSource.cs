using Offtape.Base;
using Offtape.Signal;

namespace Offtape.Simulator;

/// <summary>
/// Tape noise in units of operating level: white noise shaped to rise gently towards the treble and fall at its end, as replay equalisation
/// leaves it, and scaled so that its power from 100 Hz to 10 kHz is what the signal-to-noise figure says.
/// </summary>
internal sealed class HissSource
{
    private const double LowHz = 100;
    private const double HighHz = 10_000;

    private readonly Dice _dice;
    private readonly Biquad[] _shape;
    private readonly float _gain;
    private readonly float[] _noise = new float[8192];

    internal HissSource(NoiseModel model, int sampleRateHz, Dice dice)
    {
        _dice = dice;
        var rate = (double)sampleRateHz;
        BiquadCoefficients[] sections =
        [
            // A shelf: 9 dB up from below 1 kHz to above 5 kHz.
            BiquadCoefficients.Bilinear(1, 2.8, 0, 1, 1, 0, Math.Min(3000, rate * 0.2), rate),
            // The end of the band, and rumble taken off.
            BiquadCoefficients.Bilinear(1, 0, 0, 1, 1.4, 1, Math.Min(16_000, rate * 0.4), rate),
            BiquadCoefficients.Bilinear(0, 1, 0, 1, 1, 0, 15, rate),
        ];
        _shape = Array.ConvertAll(sections, s => new Biquad(s));
        _gain = double.IsPositiveInfinity(model.SignalToNoiseDb)
            ? 0
            : (float)(Conversions.DbToAmplitude(-model.SignalToNoiseDb) / Math.Sqrt(2) / Math.Sqrt(BandPower(sections, rate)));
    }

    /// <param name="block">The samples to add to.</param>
    /// <param name="gains">A gain for each sample, or none at all for 1.</param>
    internal void AddTo(Span<float> block, ReadOnlySpan<float> gains)
    {
        if (_gain == 0)
            return;
        for (var from = 0; from < block.Length; from += _noise.Length)
        {
            var part = block[from..Math.Min(block.Length, from + _noise.Length)];
            var noise = _noise.AsSpan(0, part.Length);
            _dice.Hiss(noise);
            foreach (var section in _shape)
                section.Process(noise, noise);
            for (var i = 0; i < part.Length; i++)
                part[i] += _gain * noise[i] * (gains.IsEmpty ? 1 : gains[from + i]);
        }
    }

    /// <summary>Power in the band of white noise of variance 1 after the sections: the mean of |H|² over the band times its share of Nyquist.</summary>
    private static double BandPower(BiquadCoefficients[] sections, double rate)
    {
        const int steps = 4000;
        var high = Math.Min(HighHz, rate / 2);
        var sum = 0.0;
        for (var i = 0; i < steps; i++)
        {
            var frequency = LowHz + (high - LowHz) * (i + 0.5) / steps;
            var gain = 1.0;
            foreach (var section in sections)
                gain *= section.ResponseAt(frequency, rate).Magnitude;
            sum += gain * gain;
        }
        return sum / steps * (high - LowHz) / (rate / 2);
    }
}
