using System.Runtime.Intrinsics;

namespace Offtape.Simulator;

/// <summary>
/// Reads a sampled signal between its samples: the sinc of the sampling theorem under a Kaiser window, both evaluated from their formulas
/// at every output sample, with no table of phases. It is written for the simulation alone and shares nothing with the retimer it tests.
/// </summary>
/// <remarks>
/// At a step of one or less it sums 64 samples: within −110 dB from 0 to 0.42 of the sample rate. At larger steps the cut-off falls to
/// 1/step of that and the sum widens, up to a step of <see cref="LargestStep"/>. Samples outside the signal count as silence.
/// </remarks>
internal sealed class DirectSinc
{
    /// <summary>Steps above this are cut off as if they were this one; the simulated head is mute there.</summary>
    internal const double LargestStep = 8;

    // A step this little above one folds only what lies above 0.485 of the rate, where no tape reaches.
    private const double FreeStep = 1.03;
    private const int HalfWidth = 32;
    private const double Beta = 12;
    private const int SeriesTerms = 21;

    private static readonly double[] Series = WindowSeries();

    private readonly double[] _sine = new double[(int)(2 * HalfWidth * LargestStep) + 8];
    private readonly double[] _cosine = new double[(int)(2 * HalfWidth * LargestStep) + 8];
    private double _tableCutoff;

    /// <summary>Fills the output with the signal at the given places.</summary>
    /// <param name="signal">The signal; index 0 is place 0.</param>
    /// <param name="places">A place in samples for each output sample, in either direction and at any spacing.</param>
    /// <param name="output">As long as <paramref name="places"/>.</param>
    internal void Read(ReadOnlySpan<float> signal, ReadOnlySpan<double> places, Span<float> output)
    {
        // One cut-off for each stretch, from its widest step, in coarse grades: a cut-off that follows the wobble would modulate the sound.
        const int stretch = 256;
        for (var from = 0; from < places.Length; from += stretch)
        {
            var to = Math.Min(from + stretch, places.Length);
            var step = 0.0;
            for (var i = Math.Max(1, from); i < to; i++)
                step = Math.Max(step, Math.Abs(places[i] - places[i - 1]));
            step = Math.Min(step, LargestStep);
            if (step <= FreeStep)
            {
                for (var i = from; i < to; i++)
                    output[i] = (float)Between(signal, places[i]);
            }
            else
            {
                var cutoff = 32 / Math.Ceiling(step * 32);
                MakeTable(cutoff);
                for (var i = from; i < to; i++)
                    output[i] = (float)Between(signal, places[i], cutoff);
            }
        }
    }

    // Σ x[k]·sin(π(u−k))/(π(u−k))·w((u−k)/32): the sine is the same for all k but for its sign.
    private static double Between(ReadOnlySpan<float> signal, double place)
    {
        var nearest = Math.Floor(place);
        if (!(nearest > -HalfWidth && nearest < signal.Length + HalfWidth))
            return 0;
        var fraction = place - nearest;
        var first = (int)nearest - HalfWidth + 1;
        if (fraction == 0)
            return (uint)(first + HalfWidth - 1) < (uint)signal.Length ? signal[first + HalfWidth - 1] : 0;
        Span<float> edge = stackalloc float[2 * HalfWidth];
        scoped ReadOnlySpan<float> x;
        if (first >= 0 && first + 2 * HalfWidth <= signal.Length)
            x = signal.Slice(first, 2 * HalfWidth);
        else
        {
            for (var j = 0; j < edge.Length; j++)
                edge[j] = (uint)(first + j) < (uint)signal.Length ? signal[first + j] : 0;
            x = edge;
        }
        // Tap j lies at u − k = fraction + 31 − j; sin(π(fraction + 31 − j)) = sin(π·fraction)·(−1)^(31−j).
        var distance = Vector256.Create(fraction + HalfWidth - 1) - Vector256.Create(0.0, 1, 2, 3);
        var sign = Vector256.Create(-1.0, 1, -1, 1);
        var sum = Vector256<double>.Zero;
        for (var j = 0; j < 2 * HalfWidth; j += 4)
        {
            var window = Window(distance * Vector256.Create(1.0 / HalfWidth));
            var samples = Vector256.Create((double)x[j], x[j + 1], x[j + 2], x[j + 3]);
            sum += samples * sign * window / distance;
            distance -= Vector256.Create(4.0);
        }
        return Vector256.Sum(sum) * Math.Sin(Math.PI * fraction) / Math.PI;
    }

    private double Between(ReadOnlySpan<float> signal, double place, double cutoff)
    {
        var half = HalfWidth / cutoff;
        var first = (int)Math.Ceiling(place - half);
        var last = (int)Math.Floor(place + half);
        if (last < 0 || first >= signal.Length)
            return 0;
        // sin(πc(d − j)) = sin(πcd)·cos(πcj) − cos(πcd)·sin(πcj), d from the first tap.
        var start = place - first;
        var (sinStart, cosStart) = Math.SinCos(Math.PI * cutoff * start);
        var sum = 0.0;
        var (from, to) = (Math.Max(first, 0), Math.Min(last, signal.Length - 1));
        var k = from;
        var total = Vector256<double>.Zero;
        for (; k + 3 <= to; k += 4)
        {
            var j = k - first;
            var distance = Vector256.Create(start - j) - Vector256.Create(0.0, 1, 2, 3);
            var sine =
                Vector256.Create(sinStart) * Vector256.Create(_cosine.AsSpan(j, 4))
                - Vector256.Create(cosStart) * Vector256.Create(_sine.AsSpan(j, 4));
            // At the place itself sinc is the cut-off; a distance too small to divide by takes its limit.
            var isZero = Vector256.LessThan(Vector256.Abs(distance), Vector256.Create(1e-9));
            var kernel = Vector256.ConditionalSelect(isZero, Vector256.Create(Math.PI * cutoff), sine / distance);
            var samples = Vector256.Create((double)signal[k], signal[k + 1], signal[k + 2], signal[k + 3]);
            total += samples * kernel * Window(distance * Vector256.Create(1 / half));
        }
        for (; k <= to; k++)
        {
            var j = k - first;
            var distance = start - j;
            var kernel = Math.Abs(distance) < 1e-9 ? Math.PI * cutoff : (sinStart * _cosine[j] - cosStart * _sine[j]) / distance;
            sum += signal[k] * kernel * Window(Vector256.Create(distance / half)).ToScalar();
        }
        return (sum + Vector256.Sum(total)) / Math.PI;
    }

    private void MakeTable(double cutoff)
    {
        if (cutoff == _tableCutoff)
            return;
        for (var j = 0; j < _sine.Length; j++)
            (_sine[j], _cosine[j]) = Math.SinCos(Math.PI * cutoff * j);
        _tableCutoff = cutoff;
    }

    // I0(β·√(1 − r²))/I0(β) is a power series in 1 − r².
    private static Vector256<double> Window(Vector256<double> r)
    {
        var z = Vector256.Max(Vector256<double>.Zero, Vector256<double>.One - r * r);
        var value = Vector256.Create(Series[SeriesTerms - 1]);
        for (var i = SeriesTerms - 2; i >= 0; i--)
            value = Vector256.MultiplyAddEstimate(value, z, Vector256.Create(Series[i]));
        return value;
    }

    // I0(x) = Σ (x²/4)^k/(k!)² (Abramowitz and Stegun 9.6.12); after 21 terms at x = 12 the rest is 1e-10 of the whole.
    private static double[] WindowSeries()
    {
        var series = new double[SeriesTerms];
        var (term, sum) = (1.0, 0.0);
        for (var k = 0; k < 60; k++)
        {
            if (k > 0)
                term *= Beta * Beta / 4 / ((double)k * k);
            sum += term;
            if (k < SeriesTerms)
                series[k] = term;
        }
        for (var k = 0; k < SeriesTerms; k++)
            series[k] /= sum;
        return series;
    }
}
