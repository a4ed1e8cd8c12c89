namespace Offtape.Signal;

/// <summary>
/// Windows for spectra and filter design. Each fills a span of any length with values up to 1, none below 0 but the flat-top's (−0.07).
/// Formulas and names after F. J. Harris, "On the use of windows for harmonic analysis with the discrete Fourier transform",
/// Proc. IEEE 66(1), 1978; the flat-top window's five terms after G. D'Antona and A. Ferrero, Digital Signal Processing for Measurement
/// Systems, 2006.
/// </summary>
public static class Windows
{
    /// <summary>0.5 − 0.5·cos: side lobes fall at 18 dB an octave; noise bandwidth 1.5 bins.</summary>
    public static void Hann(Span<float> window, WindowForm form) => CosineSum(window, form, [0.5, 0.5]);

    /// <inheritdoc cref="Hann(Span{float}, WindowForm)"/>
    public static void Hann(Span<double> window, WindowForm form) => CosineSum(window, form, [0.5, 0.5]);

    /// <summary>0.54 − 0.46·cos: highest side lobe −43 dB; noise bandwidth 1.36 bins.</summary>
    public static void Hamming(Span<float> window, WindowForm form) => CosineSum(window, form, [0.54, 0.46]);

    /// <inheritdoc cref="Hamming(Span{float}, WindowForm)"/>
    public static void Hamming(Span<double> window, WindowForm form) => CosineSum(window, form, [0.54, 0.46]);

    /// <summary>Four terms, highest side lobe −92 dB; noise bandwidth 2.00 bins.</summary>
    public static void BlackmanHarris(Span<float> window, WindowForm form) => CosineSum(window, form, BlackmanHarrisTerms);

    /// <inheritdoc cref="BlackmanHarris(Span{float}, WindowForm)"/>
    public static void BlackmanHarris(Span<double> window, WindowForm form) => CosineSum(window, form, BlackmanHarrisTerms);

    /// <summary>Five terms: reads the amplitude of a tone anywhere between two bins within 0.02 dB; noise bandwidth 3.77 bins.</summary>
    public static void FlatTop(Span<float> window, WindowForm form) => CosineSum(window, form, FlatTopTerms);

    /// <inheritdoc cref="FlatTop(Span{float}, WindowForm)"/>
    public static void FlatTop(Span<double> window, WindowForm form) => CosineSum(window, form, FlatTopTerms);

    /// <summary>I₀(β·√(1 − r²)) ÷ I₀(β), r from −1 to 1. β = π·α in Harris's letters; 0 is rectangular, larger is wider with lower side lobes.</summary>
    public static void Kaiser(Span<float> window, double beta, WindowForm form)
    {
        for (var i = 0; i < window.Length; i++)
            window[i] = (float)KaiserAt(i, Steps(window.Length, form), beta);
    }

    /// <inheritdoc cref="Kaiser(Span{float}, double, WindowForm)"/>
    public static void Kaiser(Span<double> window, double beta, WindowForm form)
    {
        for (var i = 0; i < window.Length; i++)
            window[i] = KaiserAt(i, Steps(window.Length, form), beta);
    }

    /// <summary>The modified Bessel function of the first kind, order 0, by its power series (Abramowitz and Stegun 9.6.12).</summary>
    public static double BesselI0(double x)
    {
        var quarter = x * x / 4;
        var (sum, term) = (1.0, 1.0);
        for (var k = 1; term > sum * 1e-17; k++)
        {
            term *= quarter / ((double)k * k);
            sum += term;
        }
        return sum;
    }

    /// <summary>Mean of the window: what a tone on a bin is multiplied by.</summary>
    public static double CoherentGain(ReadOnlySpan<double> window)
    {
        var sum = 0.0;
        foreach (var value in window)
            sum += value;
        return sum / window.Length;
    }

    /// <summary>Equivalent noise bandwidth in bins: N·Σw² ÷ (Σw)² (Harris, equation 11).</summary>
    public static double NoiseBandwidthBins(ReadOnlySpan<double> window)
    {
        var (sum, squares) = (0.0, 0.0);
        foreach (var value in window)
        {
            sum += value;
            squares += value * value;
        }
        return window.Length * squares / (sum * sum);
    }

    private static ReadOnlySpan<double> BlackmanHarrisTerms => [0.35875, 0.48829, 0.14128, 0.01168];

    private static ReadOnlySpan<double> FlatTopTerms => [0.21557895, 0.41663158, 0.277263158, 0.083578947, 0.006947368];

    private static void CosineSum(Span<float> window, WindowForm form, ReadOnlySpan<double> terms)
    {
        for (var i = 0; i < window.Length; i++)
            window[i] = (float)CosineSumAt(i, Steps(window.Length, form), terms);
    }

    private static void CosineSum(Span<double> window, WindowForm form, ReadOnlySpan<double> terms)
    {
        for (var i = 0; i < window.Length; i++)
            window[i] = CosineSumAt(i, Steps(window.Length, form), terms);
    }

    private static double CosineSumAt(int index, int steps, ReadOnlySpan<double> terms)
    {
        if (steps == 0)
            return 1;
        var value = 0.0;
        for (var k = 0; k < terms.Length; k++)
            value += (k % 2 == 0 ? terms[k] : -terms[k]) * Math.Cos(2 * Math.PI * k * index / steps);
        return value;
    }

    private static double KaiserAt(int index, int steps, double beta)
    {
        var r = steps == 0 ? 0 : 2.0 * index / steps - 1;
        return BesselI0(beta * Math.Sqrt(Math.Max(0, 1 - r * r))) / BesselI0(beta);
    }

    // A window of one value is 1 in either form.
    private static int Steps(int length, WindowForm form) => form == WindowForm.Periodic && length > 1 ? length : length - 1;
}
