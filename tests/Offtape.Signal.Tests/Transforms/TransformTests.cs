using Offtape.Testing;

namespace Offtape.Signal.Tests;

/// <summary>Checks the transforms against the defining sum X[k] = Σ x[n]·e^(−2πikn/N), computed in double.</summary>
public sealed class TransformTests
{
    [Theory, InlineData(2), InlineData(4), InlineData(8), InlineData(64), InlineData(1024)]
    public void Real_forward_is_the_defining_sum(int length)
    {
        var random = new Random(1);
        var x = Enumerable.Range(0, length).Select(_ => (float)(random.NextDouble() * 2 - 1)).ToArray();
        var transform = new RealTransform(length);
        var re = new float[transform.BinCount];
        var im = new float[transform.BinCount];
        transform.Forward(x, re, im);
        var (error, power) = (0.0, 0.0);
        for (var k = 0; k < re.Length; k++)
        {
            var (sr, si) = (0.0, 0.0);
            for (var n = 0; n < length; n++)
            {
                var (s, c) = Math.SinCos(-2 * Math.PI * ((long)k * n % length) / length);
                sr += x[n] * c;
                si += x[n] * s;
            }
            error += (re[k] - sr) * (re[k] - sr) + (im[k] - si) * (im[k] - si);
            power += sr * sr + si * si;
        }
        Measured.AtMost(-130, 10 * Math.Log10(error / power), "error in dB");

        var back = new float[length];
        transform.Inverse(re, im, back);
        for (var n = 0; n < length; n++)
            Measured.Within(x[n], back[n], 1e-6);
    }
}
