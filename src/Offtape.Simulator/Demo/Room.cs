namespace Offtape.Simulator;

/// <summary>
/// A small room for the demo's stems: four delay lines that feed each other through an orthogonal matrix, damped in the treble (M. Puckette and
/// J. Stautner, Computer Music Journal 6(1), 1982).
/// </summary>
internal static class Room
{
    private static readonly double[] DelaysSeconds = [0.0297, 0.0371, 0.0411, 0.0437];

    internal static void Add(float[][] channels, int sampleRateHz, double amount, double decaySeconds)
    {
        var lines = Array.ConvertAll(DelaysSeconds, d => new double[(int)(d * sampleRateHz)]);
        var gains = Array.ConvertAll(DelaysSeconds, d => Math.Pow(10, -3 * d / decaySeconds));
        var low = new double[lines.Length];
        var heard = new double[lines.Length];
        var damping = Math.Exp(-2 * Math.PI * 4500 / sampleRateHz);
        for (var i = 0; i < channels[0].Length; i++)
        {
            for (var k = 0; k < lines.Length; k++)
            {
                low[k] = lines[k][i % lines[k].Length] * gains[k] * (1 - damping) + damping * low[k];
                heard[k] = low[k];
            }
            var (left, right) = (channels[0][i], channels[^1][i]);
            // Half of a Hadamard matrix of order four: orthogonal, so the loop keeps exactly the energy that the gains leave it.
            lines[0][i % lines[0].Length] = left + 0.5 * (heard[0] + heard[1] + heard[2] + heard[3]);
            lines[1][i % lines[1].Length] = right + 0.5 * (heard[0] - heard[1] + heard[2] - heard[3]);
            lines[2][i % lines[2].Length] = left + 0.5 * (heard[0] + heard[1] - heard[2] - heard[3]);
            lines[3][i % lines[3].Length] = right + 0.5 * (heard[0] - heard[1] - heard[2] + heard[3]);
            channels[0][i] += (float)(amount * (heard[0] + heard[2]));
            channels[^1][i] += (float)(amount * (heard[1] + heard[3]));
        }
    }
}
