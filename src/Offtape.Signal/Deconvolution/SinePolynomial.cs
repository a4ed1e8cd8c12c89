using System.Numerics;

namespace Offtape.Signal;

/// <summary>
/// A curve y = a1·x + a2·x² + … and the harmonics it makes of a sine, both ways: sinⁿ written as a sum of sines and cosines of multiples
/// (binomial theorem on Euler's formula), and its inverse.
/// </summary>
public static class SinePolynomial
{
    /// <summary>Amplitudes and phases of the harmonics of a·sin φ through the curve: entry n − 1 is that of the n-th, a sine counting as real.</summary>
    /// <param name="coefficients">a1, a2, …</param>
    /// <param name="amplitude">a.</param>
    public static Complex[] Harmonics(ReadOnlySpan<double> coefficients, double amplitude)
    {
        var harmonics = new Complex[coefficients.Length];
        for (var power = 1; power <= coefficients.Length; power++)
        {
            for (var n = power; n >= 1; n -= 2)
                harmonics[n - 1] += coefficients[power - 1] * Math.Pow(amplitude, power) * Share(power, n);
        }
        return harmonics;
    }

    /// <summary>The curve whose harmonics these are. What a memoryless curve cannot make (sines of even, cosines of odd order) is left out.</summary>
    /// <param name="harmonics">Entry n − 1 is that of the n-th, a sine counting as real.</param>
    /// <param name="amplitude">Amplitude of the sine that made them, above 0.</param>
    public static double[] Coefficients(ReadOnlySpan<Complex> harmonics, double amplitude)
    {
        var coefficients = new double[harmonics.Length];
        // Of the harmonics left, the highest comes from its own power alone: take it off and go down.
        var left = harmonics.ToArray();
        for (var power = harmonics.Length; power >= 1; power--)
        {
            var own = Share(power, power);
            var coefficient = (left[power - 1] / own).Real;
            coefficients[power - 1] = coefficient / Math.Pow(amplitude, power);
            for (var n = power; n >= 1; n -= 2)
                left[n - 1] -= coefficient * Share(power, n);
        }
        return coefficients;
    }

    // sin^p φ = Σ share(p, n)·e^(jnφ) read as sine: ((e^jφ − e^−jφ)/2j)^p, the terms n and −n taken together.
    private static Complex Share(int power, int n)
    {
        var k = (power - n) / 2;
        var binomial = 1.0;
        for (var i = 0; i < k; i++)
            binomial *= (double)(power - i) / (i + 1);
        // c·e^(jnφ) + its conjugate = 2·|c|·cos(nφ + arg c) = 2·|c|·sin(nφ + arg c + π/2), c = (−1)^k·binomial ÷ (2j)^p.
        var c = (k % 2 == 0 ? binomial : -binomial) / Complex.Pow(new Complex(0, 2), power);
        return 2 * c * Complex.ImaginaryOne;
    }
}
