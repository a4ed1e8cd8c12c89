using System.Numerics;
using System.Runtime.InteropServices;
using Offtape.Signal;

namespace Offtape.Simulator;

/// <summary>
/// Applies a curve at four times the sample rate, so that the harmonics it makes do not fold back: up by a windowed sinc, through the curve,
/// and down by the same sinc. No delay: sample n of the output belongs to sample n of the input.
/// </summary>
internal static class Oversampled
{
    private const int Factor = 4;

    // Samples on either side; with this window the passband reaches 0.44 of the rate, and folding lies 90 dB down.
    private const int HalfWidth = 24;
    private const double KaiserBeta = 9;
    private const int TapCount = 2 * HalfWidth;

    // Tap j of phase p weighs input sample n − 23 + j for the place n + p/4.
    private static readonly float[][] Phases = MakePhases();

    internal static void Apply<TCurve>(float[] signal, TCurve curve)
        where TCurve : struct, ITapeCurve
    {
        const int block = 4096;
        var (before, after) = (HalfWidth, HalfWidth);
        // The curve's output at the four phases, for input places from −24 to block + 24 of the present block.
        var phases = new float[Factor][];
        for (var p = 0; p < Factor; p++)
            phases[p] = new float[block + before + after];
        var input = new float[block + before + after + TapCount];
        var kept = new float[before + after][];
        for (var i = 0; i < kept.Length; i++)
            kept[i] = new float[Factor];
        for (var from = 0; from < signal.Length; from += block)
        {
            var count = Math.Min(block, signal.Length - from);
            // Carry over what the last block made beyond its end, then make on to the end of this block and 24 further.
            for (var i = 0; i < before + after; i++)
            {
                for (var p = 0; p < Factor; p++)
                    phases[p][i] = from == 0 ? 0 : kept[i][p];
            }
            var firstNew = from == 0 ? -before : from + after;
            var lastNew = from + count + after;
            Fill(input, signal, firstNew - HalfWidth, lastNew - firstNew + TapCount);
            for (var n = firstNew; n < lastNew; n++)
            {
                var place = n - (from - before);
                var window = input.AsSpan(n - firstNew + 1, TapCount);
                phases[0][place] = (float)curve.Next(window[HalfWidth - 1]);
                for (var p = 1; p < Factor; p++)
                    phases[p][place] = (float)curve.Next(Dot(window, Phases[p]));
            }
            for (var i = 0; i < count; i++)
                signal[from + i] = Down(phases, i + before);
            for (var i = 0; i < before + after; i++)
            {
                for (var p = 0; p < Factor; p++)
                    kept[i][p] = phases[p][count + i];
            }
        }
    }

    // y[n] = ¼·Σ h(m/4)·z(n − m/4): phase 0 is the middle alone, phases 1 to 3 are the interpolators read the other way round.
    private static float Down(float[][] phases, int place)
    {
        var sum = phases[0][place];
        for (var p = 1; p < Factor; p++)
            sum += Dot(phases[p].AsSpan(place - HalfWidth, TapCount), Phases[Factor - p]);
        return sum / Factor;
    }

    // The input beyond a block's end has not been overwritten yet; before its start it has, and is not asked for again.
    private static void Fill(float[] input, float[] signal, int first, int count)
    {
        for (var i = 0; i < count; i++)
            input[i] = (uint)(first + i) < (uint)signal.Length ? signal[first + i] : 0;
    }

    private static float Dot(ReadOnlySpan<float> a, ReadOnlySpan<float> b)
    {
        var va = MemoryMarshal.Cast<float, Vector<float>>(a);
        var vb = MemoryMarshal.Cast<float, Vector<float>>(b);
        var sum = Vector<float>.Zero;
        for (var i = 0; i < va.Length; i++)
            sum += va[i] * vb[i];
        var total = Vector.Sum(sum);
        for (var i = va.Length * Vector<float>.Count; i < a.Length; i++)
            total += a[i] * b[i];
        return total;
    }

    private static float[][] MakePhases()
    {
        var phases = new float[Factor][];
        for (var p = 0; p < Factor; p++)
        {
            phases[p] = new float[TapCount];
            for (var j = 0; j < TapCount; j++)
            {
                var x = (double)p / Factor + HalfWidth - 1 - j;
                var r = x / HalfWidth;
                var window = Windows.BesselI0(KaiserBeta * Math.Sqrt(Math.Max(0, 1 - r * r))) / Windows.BesselI0(KaiserBeta);
                phases[p][j] = (float)(x == 0 ? 1 : Math.Sin(Math.PI * x) / (Math.PI * x) * window);
            }
        }
        return phases;
    }
}
