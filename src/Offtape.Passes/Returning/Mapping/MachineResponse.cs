using Offtape.Signal;

namespace Offtape.Passes.Mapping;

/// <summary>
/// What the machine does to the sound, as a complex response against the source: smooth over an eighth of an octave, without the constant
/// delay that is the map's business, and with phase in the low notes only, where a machine turns it.
/// </summary>
internal sealed class MachineResponse
{
    private const int Points = 240;
    private const double LowestHz = 15;
    private const double SmoothOctaves = 1 / 8.0;
    private const double SmoothHz = 6;

    // Above this a machine is a plain delay: phase fades out as 1 / (1 + (f / 600 Hz)⁴).
    private const double PhaseHz = 600;

    // As much evidence as this (signal over noise, summed) must speak against "a plain gain" to be believed by half.
    private const double Doubt = 20;
    private const int WindowFrames = 4096;
    private const int HopFrames = WindowFrames / 2;
    private const double SourceError = 3e-3;

    private readonly double[] _octave;
    private readonly double[] _gain;
    private readonly double[] _phase;

    private MachineResponse(double[] octave, double[] gain, double[] phase) => (_octave, _gain, _phase) = (octave, gain, phase);

    /// <summary>Unit gain, no phase.</summary>
    internal static MachineResponse Straight { get; } = new([0, 20], [1, 1], [0, 0]);

    /// <summary>The largest phase from 40 to 400 Hz in radians: where it is large, low notes need it.</summary>
    internal double LowPhaseRadians =>
        _octave
            .Select((o, i) => (Hertz: Math.Pow(2, o), Phase: Math.Abs(_phase[i])))
            .Where(p => p.Hertz is > 40 and < 400)
            .Select(p => p.Phase)
            .DefaultIfEmpty(0)
            .Max();

    /// <summary>The response at the bins of a transform.</summary>
    internal (float[] Re, float[] Im) Sampled(int binCount, double rateHz)
    {
        var (re, im) = (new float[binCount], new float[binCount]);
        var at = 0;
        for (var k = 0; k < binCount; k++)
        {
            var octave = Math.Log2(Math.Max(k, 0.25) * rateHz / (2.0 * (binCount - 1)));
            while (at < _octave.Length - 2 && _octave[at + 1] < octave)
                at++;
            var f = Math.Clamp((octave - _octave[at]) / (_octave[at + 1] - _octave[at]), 0, 1);
            var (gain, phase) = (_gain[at] + f * (_gain[at + 1] - _gain[at]), _phase[at] + f * (_phase[at + 1] - _phase[at]));
            (re[k], im[k]) = ((float)(gain * Math.Cos(phase)), (float)(gain * Math.Sin(phase)));
        }
        return (re, im);
    }

    /// <summary>Measures it from a section that is in time already.</summary>
    /// <param name="source">Through the tape's curve.</param>
    /// <param name="capture">Along the map, as long.</param>
    /// <param name="hissDensity">Power of hiss per frame of window energy, at the bins of a transform of <see cref="MapSection.LongWindowFrames"/>.</param>
    /// <param name="rateHz">Of both.</param>
    /// <param name="highHz">Up to here the map is in time.</param>
    internal static MachineResponse Measure(
        ReadOnlySpan<float> source,
        ReadOnlySpan<float> capture,
        float[] hissDensity,
        double rateHz,
        double highHz
    )
    {
        var spectra = new ResponseSpectra(source, capture, WindowFrames, HopFrames, hissDensity, SourceError);
        var (sourcePower, crossRe, crossIm) = spectra.Sum(40, highHz, rateHz);
        var binHz = rateHz / WindowFrames;
        var octave = new double[Points];
        var (gain, phase, weight) = (new double[Points], new double[Points], new double[Points]);
        var top = Math.Log2(rateHz / 2 * 0.98);
        double totalRe = 0,
            totalIm = 0,
            total = 1e-30;
        var (re, im) = (new double[Points], new double[Points]);
        for (var i = 0; i < Points; i++)
        {
            octave[i] = Math.Log2(LowestHz) + (top - Math.Log2(LowestHz)) * i / (Points - 1);
            var hertz = Math.Pow(2, octave[i]);
            var width = Math.Max(SmoothOctaves, SmoothHz / hertz);
            var (first, last) = (
                (int)Math.Max(1, hertz * Math.Pow(2, -3 * width) / binHz),
                (int)Math.Min(sourcePower.Length - 1, hertz * Math.Pow(2, 3 * width) / binHz + 1)
            );
            for (var k = first; k <= last; k++)
            {
                var away = (Math.Log2(Math.Max(k * binHz, 3)) - octave[i]) / width;
                var share = Math.Exp(-0.5 * away * away);
                re[i] += share * crossRe[k];
                im[i] += share * crossIm[k];
                weight[i] += share * sourcePower[k];
            }
            (totalRe, totalIm, total) = (totalRe + re[i], totalIm + im[i], total + weight[i]);
        }
        var mean = Math.Sqrt(totalRe * totalRe + totalIm * totalIm) / total;
        for (var i = 0; i < Points; i++)
        {
            var (a, b) = ((re[i] + Doubt * mean) / (weight[i] + Doubt), im[i] / (weight[i] + Doubt));
            gain[i] = Math.Sqrt(a * a + b * b);
            phase[i] = Math.Atan2(b, a);
            if (i > 0)
                phase[i] -= 2 * Math.PI * Math.Round((phase[i] - phase[i - 1]) / (2 * Math.PI));
        }
        TakeOutDelay(octave, phase, weight, highHz);
        return new MachineResponse(octave, gain, phase);
    }

    /// <summary>
    /// The straight line in frequency that fits the phase belongs to the map. Points lie evenly in log frequency, so their weights hold the
    /// width of their bands already.
    /// </summary>
    private static void TakeOutDelay(double[] octave, double[] phase, double[] weight, double highHz)
    {
        double top = 0,
            bottom = 1e-30;
        var lastKnown = 0;
        for (var i = 0; i < octave.Length; i++)
        {
            var hertz = Math.Pow(2, octave[i]);
            if (hertz >= highHz)
                break;
            lastKnown = i;
            (top, bottom) = (top + weight[i] * hertz * phase[i], bottom + weight[i] * hertz * hertz);
        }
        var delay = top / bottom;
        for (var i = 0; i < octave.Length; i++)
        {
            var hertz = Math.Pow(2, octave[i]);
            phase[i] = i <= lastKnown ? phase[i] - delay * hertz : phase[lastKnown];
        }
        for (var i = 0; i < octave.Length; i++)
        {
            var ratio = Math.Pow(2, octave[i]) / PhaseHz;
            phase[i] /= 1 + ratio * ratio * ratio * ratio;
        }
    }
}
