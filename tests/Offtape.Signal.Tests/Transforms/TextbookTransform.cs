namespace Offtape.Signal.Tests;

/// <summary>
/// The discrete Fourier transform in double, written as textbooks write it and sharing nothing with the product: the defining sum, and the
/// splitting into even and odd samples (Cooley and Tukey 1965) for lengths at which the sum would take minutes.
/// </summary>
internal static class TextbookTransform
{
    /// <summary>X[k] = Σ x[n]·e^(−2πikn/N).</summary>
    public static (double Re, double Im)[] Sum(double[] re, double[] im)
    {
        var length = re.Length;
        var turns = new (double Sin, double Cos)[length];
        for (var i = 0; i < length; i++)
            turns[i] = Math.SinCos(-2 * Math.PI * i / length);
        var spectrum = new (double Re, double Im)[length];
        for (var k = 0; k < length; k++)
        {
            var (sumRe, sumIm) = (0.0, 0.0);
            for (var n = 0; n < length; n++)
            {
                var (s, c) = turns[(int)((long)k * n % length)];
                sumRe += re[n] * c - im[n] * s;
                sumIm += re[n] * s + im[n] * c;
            }
            spectrum[k] = (sumRe, sumIm);
        }
        return spectrum;
    }

    /// <summary>The same by halving; a power of two.</summary>
    public static (double Re, double Im)[] Halving(double[] re, double[] im)
    {
        var spectrum = new (double Re, double Im)[re.Length];
        Halve(re, im, 0, 1, spectrum);
        return spectrum;
    }

    private static void Halve(double[] re, double[] im, int first, int step, Span<(double Re, double Im)> spectrum)
    {
        var length = spectrum.Length;
        if (length == 1)
        {
            spectrum[0] = (re[first], im[first]);
            return;
        }
        var half = length / 2;
        Halve(re, im, first, 2 * step, spectrum[..half]);
        Halve(re, im, first + step, 2 * step, spectrum[half..]);
        for (var k = 0; k < half; k++)
        {
            var (s, c) = Math.SinCos(-2 * Math.PI * k / length);
            var (even, odd) = (spectrum[k], spectrum[k + half]);
            var turned = (Re: odd.Re * c - odd.Im * s, Im: odd.Re * s + odd.Im * c);
            spectrum[k] = (even.Re + turned.Re, even.Im + turned.Im);
            spectrum[k + half] = (even.Re - turned.Re, even.Im - turned.Im);
        }
    }
}
