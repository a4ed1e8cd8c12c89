using Offtape.Base;

namespace Offtape.Simulator;

/// <summary>Noise that comes and goes with the sound: the level trembles as the coating's grain passes by, slower than about 2 kHz.</summary>
internal sealed class ModulationNoise
{
    private const double CornerHz = 2000;

    private readonly Dice _dice;
    private readonly double _keep;
    private readonly float _depth;
    private readonly float[] _noise = new float[8192];
    private double _state;

    internal ModulationNoise(NoiseModel model, int sampleRateHz, Dice dice)
    {
        _dice = dice;
        _keep = Math.Exp(-2 * Math.PI * CornerHz / sampleRateHz);
        // A one-pole low-pass leaves white noise of variance 1 with (1 − k)/(1 + k).
        _depth = double.IsNegativeInfinity(model.ModulationNoiseDb)
            ? 0
            : (float)(Conversions.DbToAmplitude(model.ModulationNoiseDb) / Math.Sqrt((1 - _keep) / (1 + _keep)));
    }

    internal void Apply(Span<float> block)
    {
        if (_depth == 0)
            return;
        var noise = _noise.AsSpan(0, block.Length);
        _dice.Hiss(noise);
        for (var i = 0; i < block.Length; i++)
        {
            _state += (1 - _keep) * (noise[i] - _state);
            block[i] *= 1 + _depth * (float)_state;
        }
    }
}
