namespace Offtape.Signal;

/// <summary>
/// Tables of e^(−2πij/n), each entry from the library's own sine and cosine in double. Recursion would be faster to fill and lose 60 dB:
/// its errors add up along the table.
/// </summary>
internal static class Twiddles
{
    /// <summary>Rows of n/radix values: cosine for k = 1, sine for k = 1, cosine for k = 2 …; the angle at p is −2πkp/n.</summary>
    public static float[] Rows(int n, int radix)
    {
        var m = n / radix;
        var table = new float[2 * (radix - 1) * m];
        for (var k = 1; k < radix; k++)
        {
            for (var p = 0; p < m; p++)
                (table[(2 * k - 1) * m + p], table[(2 * k - 2) * m + p]) = SineCosine((long)k * p, n);
        }
        return table;
    }

    /// <summary>Groups of 2·(radix − 1) values, one group for each p: cosine and sine for k = 1, 2 …; the angle is −2πkp/n.</summary>
    public static float[] Groups(int n, int radix)
    {
        var m = n / radix;
        var group = 2 * (radix - 1);
        var table = new float[group * m];
        for (var p = 0; p < m; p++)
        {
            for (var k = 1; k < radix; k++)
                (table[group * p + 2 * k - 1], table[group * p + 2 * k - 2]) = SineCosine((long)k * p, n);
        }
        return table;
    }

    /// <summary>Sine and cosine of −2π·numerator/n.</summary>
    public static (float Sine, float Cosine) SineCosine(long numerator, long n)
    {
        var (sine, cosine) = Math.SinCos(-2 * Math.PI * numerator / n);
        return ((float)sine, (float)cosine);
    }
}
