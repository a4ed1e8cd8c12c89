using System.Numerics;

namespace Offtape.Tape;

/// <summary>
/// The shape of the stripe's spectrum: a symmetric filter of 511 whole-number coefficients at 24 000 Hz, amplitude (f/1 kHz)^−⅛ with
/// raised-cosine edges from 200 to 300 Hz and from 9.0 to 9.6 kHz. The stripe passes it twice, which makes f^−¼.
/// </summary>
/// <remarks>
/// Coefficient k is round(2^24 · h(k) · v(k)), where h is the inverse Fourier transform of the amplitude on a grid of 1 Hz and
/// v(k) = ½ + ½·cos(πk/256). The numbers themselves are the definition: a sum of whole numbers is exact on every machine, whereas a
/// cosine may differ in its last bit.
/// </remarks>
internal static class StripeShape
{
    internal const int HalfWidthFrames = 255;
    internal const int RateHz = 24_000;

    /// <summary>Unit of the coefficients.</summary>
    internal const double One = 1 << 24;

    /// <summary>RMS of uniform 16-bit noise after the filter, in whole-number products: 65 536/√12 · √(Σ c²), as one fixed number.</summary>
    internal const double FilteredRms = 234_566_812_352.0;

    /// <summary>Coefficients 0 (the middle) to 255; coefficient −k equals coefficient k.</summary>
    internal static ReadOnlySpan<int> Coefficients =>
        [
            10769876,
            3198347,
            -1938559,
            1022949,
            -480744,
            -543836,
            326054,
            -827244,
            -16059,
            -272228,
            -584576,
            21169,
            -567785,
            -255640,
            -200985,
            -530961,
            -106613,
            -408005,
            -328590,
            -163692,
            -441311,
            -167109,
            -288779,
            -324676,
            -139431,
            -338772,
            -184560,
            -197068,
            -277879,
            -118166,
            -238266,
            -170199,
            -126889,
            -209548,
            -94093,
            -149373,
            -133854,
            -73172,
            -135599,
            -64959,
            -76916,
            -85730,
            -31300,
            -67441,
            -31743,
            -21853,
            -35586,
            2205,
            -11973,
            2218,
            17388,
            8641,
            29166,
            28010,
            32600,
            43460,
            41838,
            49840,
            52851,
            55519,
            58981,
            61982,
            63540,
            64766,
            68607,
            65965,
            69679,
            69504,
            66666,
            71459,
            65809,
            67257,
            67645,
            61352,
            65456,
            59628,
            57767,
            58912,
            51164,
            53143,
            48653,
            44189,
            45222,
            37990,
            37459,
            34465,
            28993,
            29039,
            23443,
            21084,
            18963,
            14025,
            12831,
            9011,
            6057,
            4108,
            595,
            -1399,
            -3929,
            -6329,
            -8420,
            -10384,
            -12374,
            -14218,
            -15427,
            -17504,
            -18310,
            -19568,
            -21091,
            -21070,
            -22713,
            -22888,
            -23063,
            -24302,
            -23417,
            -24246,
            -24164,
            -23344,
            -24128,
            -22858,
            -22755,
            -22541,
            -21103,
            -21271,
            -19974,
            -19116,
            -18723,
            -17110,
            -16659,
            -15486,
            -14240,
            -13596,
            -12132,
            -11252,
            -10198,
            -8943,
            -8068,
            -6891,
            -5879,
            -4889,
            -3886,
            -2915,
            -2016,
            -1153,
            -218,
            441,
            1315,
            2003,
            2548,
            3370,
            3721,
            4332,
            4860,
            5058,
            5673,
            5808,
            6081,
            6453,
            6377,
            6716,
            6716,
            6681,
            6874,
            6638,
            6695,
            6602,
            6359,
            6362,
            6061,
            5898,
            5725,
            5392,
            5230,
            4919,
            4638,
            4395,
            4063,
            3798,
            3499,
            3201,
            2914,
            2630,
            2344,
            2064,
            1817,
            1528,
            1306,
            1064,
            815,
            646,
            402,
            236,
            77,
            -126,
            -220,
            -387,
            -504,
            -578,
            -717,
            -756,
            -838,
            -908,
            -917,
            -987,
            -988,
            -1001,
            -1026,
            -995,
            -1006,
            -982,
            -952,
            -939,
            -892,
            -863,
            -824,
            -776,
            -738,
            -689,
            -643,
            -597,
            -550,
            -504,
            -459,
            -416,
            -371,
            -334,
            -293,
            -257,
            -225,
            -189,
            -164,
            -136,
            -111,
            -93,
            -69,
            -55,
            -41,
            -26,
            -19,
            -8,
            -2,
            2,
            7,
            8,
            10,
            11,
            10,
            10,
            9,
            7,
            6,
            4,
            3,
            2,
            1,
            0,
        ];

    /// <summary>
    /// Filters whole numbers: output i from input i to i + 510. Exact, so the order of summation does not matter: inputs below 2^21 keep
    /// every partial sum below 2^47, and doubles count to 2^53.
    /// </summary>
    internal static void Apply(ReadOnlySpan<double> input, Span<double> output)
    {
        const int half = HalfWidthFrames;
        var done = 0;
        // Four vectors at a time, so that each coefficient is fetched once for all of them.
        for (; done + 4 * Vector<double>.Count <= output.Length; done += 4 * Vector<double>.Count)
        {
            var (a, b, c, d) = (Vector<double>.Zero, Vector<double>.Zero, Vector<double>.Zero, Vector<double>.Zero);
            for (var k = -half; k <= half; k++)
            {
                var coefficient = new Vector<double>(DoubleCoefficients[Math.Abs(k)]);
                var from = input[(done + half + k)..];
                a += coefficient * new Vector<double>(from);
                b += coefficient * new Vector<double>(from[Vector<double>.Count..]);
                c += coefficient * new Vector<double>(from[(2 * Vector<double>.Count)..]);
                d += coefficient * new Vector<double>(from[(3 * Vector<double>.Count)..]);
            }
            a.CopyTo(output[done..]);
            b.CopyTo(output[(done + Vector<double>.Count)..]);
            c.CopyTo(output[(done + 2 * Vector<double>.Count)..]);
            d.CopyTo(output[(done + 3 * Vector<double>.Count)..]);
        }
        for (; done < output.Length; done++)
        {
            double sum = 0;
            for (var k = -half; k <= half; k++)
                sum += DoubleCoefficients[Math.Abs(k)] * input[done + half + k];
            output[done] = sum;
        }
    }

    private static readonly double[] DoubleCoefficients = [.. Coefficients.ToArray().Select(c => (double)c)];
}
