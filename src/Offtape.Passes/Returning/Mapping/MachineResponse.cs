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

    // A gain that changes by three quarters within an octave is steep: its inverse square.
    private const double SlopeDoubt = 1.8;

    private const double MidLowHz = 1000;
    private const double MidHighHz = 4000;
    private const double PhaseDoubt = 100;

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

    /// <summary>Smooths evidence into a response.</summary>
    /// <param name="gainEvidence">Of the take itself: its track's treble is its own.</param>
    /// <param name="phaseEvidence">Of all that ran through the machine in this pass: low notes alone cannot tell phase from delay.</param>
    /// <param name="highHz">Up to here the maps are in time.</param>
    /// <param name="isBroad">The evidence has treble: then phase is believed wherever it is seen, and the delay that is taken out is that of
    /// 1 to 4 kHz, so that all takes of a machine mean the same by their time.</param>
    internal static MachineResponse Of(ResponseEvidence gainEvidence, ResponseEvidence phaseEvidence, double highHz, bool isBroad = false)
    {
        var (own, ownRe, ownIm) = Smooth(gainEvidence);
        var (weight, re, im) = ReferenceEquals(gainEvidence, phaseEvidence) ? (own, ownRe, ownIm) : Smooth(phaseEvidence);
        var (octave, gain, phase) = (Octaves(), new double[Points], new double[Points]);
        var ownMean = Mean(own, ownRe, ownIm);
        var mean = Mean(weight, re, im);
        for (var i = 0; i < Points; i++)
        {
            var (a, b) = ((ownRe[i] + Doubt * ownMean) / (own[i] + Doubt), ownIm[i] / (own[i] + Doubt));
            gain[i] = Math.Sqrt(a * a + b * b);
            phase[i] = Math.Atan2(im[i], re[i] + Doubt * mean);
            if (i > 0)
                phase[i] -= 2 * Math.PI * Math.Round((phase[i] - phase[i - 1]) / (2 * Math.PI));
        }
        if (isBroad)
            TakeOutMidDelay(octave, phase, weight, highHz);
        else
            TakeOutDelay(octave, phase, weight, highHz);
        return new MachineResponse(octave, gain, phase);
    }

    private static double Mean(double[] weight, double[] re, double[] im)
    {
        var (sumRe, sumIm) = (re.Sum(), im.Sum());
        return Math.Sqrt(sumRe * sumRe + sumIm * sumIm) / (weight.Sum() + 1e-30);
    }

    private static double[] Octaves()
    {
        var (bottom, top) = (Math.Log2(LowestHz), Math.Log2(MapSection.RateHz / 2 * 0.98));
        return [.. Enumerable.Range(0, Points).Select(i => bottom + (top - bottom) * i / (Points - 1))];
    }

    /// <summary>
    /// Means over an eighth of an octave; the second time each along the slope of phase that the first one showed there, so that a steep phase
    /// (low notes at the end of a machine's range) is not flattened.
    /// </summary>
    private static (double[] Weight, double[] Re, double[] Im) Smooth(ResponseEvidence evidence)
    {
        var octave = Octaves();
        var slope = new double[Points];
        var (weight, re, im) = SmoothAlong(evidence, octave, slope);
        for (var i = 1; i < Points - 1; i++)
        {
            var turn = Math.Atan2(im[i + 1] * re[i - 1] - re[i + 1] * im[i - 1], re[i + 1] * re[i - 1] + im[i + 1] * im[i - 1]);
            var seen = weight[i] / (weight[i] + PhaseDoubt);
            slope[i] = seen * turn / (Math.Pow(2, octave[i + 1]) - Math.Pow(2, octave[i - 1]));
        }
        (_, re, im) = SmoothAlong(evidence, octave, slope);
        return (weight, re, im);
    }

    private static (double[] Weight, double[] Re, double[] Im) SmoothAlong(ResponseEvidence evidence, double[] octave, double[] slope)
    {
        var (weight, re, im) = (new double[Points], new double[Points], new double[Points]);
        var (bins, binHz) = (evidence.SourcePower.Length, ResponseEvidence.BinHz);
        var octaveOfBin = new double[bins];
        for (var k = 0; k < bins; k++)
            octaveOfBin[k] = Math.Log2(Math.Max(k * binHz, 3));
        for (var i = 0; i < Points; i++)
        {
            var hertz = Math.Pow(2, octave[i]);
            var width = Math.Max(SmoothOctaves, SmoothHz / hertz);
            var first = (int)Math.Max(1, hertz * Math.Pow(2, -3 * width) / binHz);
            var last = (int)Math.Min(bins - 1, hertz * Math.Pow(2, 3 * width) / binHz + 1);
            double away1 = 0,
                away2 = 0,
                re1 = 0,
                im1 = 0;
            for (var k = first; k <= last; k++)
            {
                var away = (octaveOfBin[k] - octave[i]) / width;
                var share = Math.Exp(-0.5 * away * away);
                var (sin, cos) = slope[i] == 0 ? (0, 1) : Math.SinCos(slope[i] * (k * binHz - hertz));
                var (crossRe, crossIm) = (
                    share * (evidence.CrossRe[k] * cos + evidence.CrossIm[k] * sin),
                    share * (evidence.CrossIm[k] * cos - evidence.CrossRe[k] * sin)
                );
                var power = share * evidence.SourcePower[k];
                (re[i], im[i], weight[i]) = (re[i] + crossRe, im[i] + crossIm, weight[i] + power);
                (re1, im1) = (re1 + away * crossRe, im1 + away * crossIm);
                (away1, away2) = (away1 + away * power, away2 + away * away * power);
            }
            if (weight[i] <= 0)
                continue;
            // One loud note weighs more than all about it: a mean would be flat across it. So a straight line is laid through, of whose
            // slope there has to be evidence.
            var centre = away1 / weight[i];
            var spread = away2 - away1 * centre + SlopeDoubt / (width * width);
            (re[i], im[i]) = (
                re[i] - centre * weight[i] * (re1 - centre * re[i]) / spread,
                im[i] - centre * weight[i] * (im1 - centre * im[i]) / spread
            );
        }
        return (weight, re, im);
    }

    /// <summary>The mean delay from 1 to 4 kHz belongs to the map; what is left is phase, as far as it is seen.</summary>
    private static void TakeOutMidDelay(double[] octave, double[] phase, double[] weight, double highHz)
    {
        double sum = 1e-30,
            sumF = 0,
            sumP = 0,
            sumFf = 0,
            sumFp = 0;
        for (var i = 0; i < octave.Length; i++)
        {
            var hertz = Math.Pow(2, octave[i]);
            if (hertz is < MidLowHz or > MidHighHz)
                continue;
            // Points lie evenly in log frequency: their share of a hertz is hertz.
            var w = hertz * weight[i] / (weight[i] + PhaseDoubt);
            (sum, sumF, sumP) = (sum + w, sumF + w * hertz, sumP + w * phase[i]);
            (sumFf, sumFp) = (sumFf + w * hertz * hertz, sumFp + w * hertz * phase[i]);
        }
        var slope = (sumFp - sumF * sumP / sum) / Math.Max(sumFf - sumF * sumF / sum, 1e-30);
        var last = 0.0;
        for (var i = 0; i < octave.Length; i++)
        {
            var hertz = Math.Pow(2, octave[i]);
            if (hertz >= highHz)
            {
                phase[i] = last;
                continue;
            }
            phase[i] -= slope * hertz;
            last = phase[i] *= weight[i] / (weight[i] + PhaseDoubt);
        }
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
