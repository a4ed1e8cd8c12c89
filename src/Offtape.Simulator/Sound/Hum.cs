using Offtape.Base;

namespace Offtape.Simulator;

/// <summary>Mains hum in units of operating level: the mains frequency and six multiples, odd ones stronger, as of a ground loop and a supply.</summary>
internal sealed class Hum
{
    private static readonly double[] Weights = [1, 0.35, 0.6, 0.15, 0.25, 0.08, 0.12];

    private readonly double[] _amplitudes;
    private readonly double[] _phases;
    private readonly double _step;

    internal Hum(NoiseModel model, int sampleRateHz, Dice dice)
    {
        _step = 2 * Math.PI * model.HumHz / sampleRateHz;
        var power = Weights.Sum(w => w * w);
        // A sine of operating level has amplitude 1, and so has the hum's sum of squares at 0 dB.
        var amplitude = Conversions.DbToAmplitude(model.HumDb) / Math.Sqrt(power);
        _amplitudes = Array.ConvertAll(Weights, w => w * amplitude);
        _phases = Array.ConvertAll(Weights, _ => dice.Uniform(0, 2 * Math.PI));
    }

    internal void AddTo(Span<float> block, long firstFrame)
    {
        if (_amplitudes[0] == 0)
            return;
        for (var h = 0; h < _amplitudes.Length; h++)
        {
            var step = _step * (h + 1);
            var harmonic = new Oscillator(step / (2 * Math.PI), step * firstFrame + _phases[h], 1);
            for (var i = 0; i < block.Length; i++)
                block[i] += (float)(_amplitudes[h] * harmonic.Next());
        }
    }
}
