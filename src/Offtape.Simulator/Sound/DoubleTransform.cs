namespace Offtape.Simulator;

/// <summary>A plain radix-2 transform in double, for designing filters: exact to rounding, in no hurry.</summary>
internal sealed class DoubleTransform(int length)
{
    private readonly (double Sine, double Cosine)[] _turns =
    [
        .. Enumerable.Range(0, length / 2).Select(k => Math.SinCos(-2 * Math.PI * k / length)),
    ];

    /// <summary>X[k] = Σ x[n]·e^(−2πikn/N), in place.</summary>
    internal void Forward(double[] re, double[] im)
    {
        for (int i = 1, j = 0; i < length; i++)
        {
            var bit = length >> 1;
            for (; (j & bit) != 0; bit >>= 1)
                j ^= bit;
            j ^= bit;
            if (i < j)
                (re[i], re[j], im[i], im[j]) = (re[j], re[i], im[j], im[i]);
        }
        for (var size = 2; size <= length; size *= 2)
        {
            var (half, stride) = (size / 2, length / size);
            for (var start = 0; start < length; start += size)
            {
                for (var k = 0; k < half; k++)
                {
                    var (sine, cosine) = _turns[k * stride];
                    var (a, b) = (start + k, start + k + half);
                    var (tr, ti) = (cosine * re[b] - sine * im[b], cosine * im[b] + sine * re[b]);
                    (re[b], im[b]) = (re[a] - tr, im[a] - ti);
                    (re[a], im[a]) = (re[a] + tr, im[a] + ti);
                }
            }
        }
    }

    /// <summary>The inverse with the factor 1/N, in place.</summary>
    internal void Inverse(double[] re, double[] im)
    {
        // Swapping real and imaginary parts turns a forward transform into an inverse one.
        Forward(im, re);
        for (var i = 0; i < length; i++)
            (re[i], im[i]) = (re[i] / length, im[i] / length);
    }

    /// <summary>The real signal whose spectrum is real and even: half a spectrum of N/2 + 1 values in, N values out.</summary>
    internal double[] RealFromSymmetric(double[] halfSpectrum)
    {
        var re = new double[length];
        for (var k = 0; k <= length / 2; k++)
            re[k] = re[(length - k) % length] = halfSpectrum[k];
        Inverse(re, new double[length]);
        return re;
    }
}
