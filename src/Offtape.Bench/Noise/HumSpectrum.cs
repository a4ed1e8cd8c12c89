using Offtape.Signal;

namespace Offtape.Bench;

/// <summary>The lowest octaves of a quiet stretch, finely: power of a sine at any frequency, and of the noise about it.</summary>
internal sealed class HumSpectrum
{
    // Noise about a line is looked for this far on either side, but for its own skirts.
    private const double AboutHz = 8;
    private const double OwnHz = 1.2;

    // How far from where it should be a line's crest is looked for, as a share of what the stretch can tell apart.
    private const double CrestShare = 0.25;

    private readonly double[] _power;

    internal HumSpectrum(ReadOnlySpan<float> frames, int sampleRateHz, double highestHz, double padding)
    {
        var band = Baseband.Of(frames, sampleRateHz, highestHz / 2, highestHz / 2);
        var window = new double[band.Count];
        Windows.Hann(window, WindowForm.Periodic);
        var transform = new ComplexTransform(TransformLength.AtLeast((int)(padding * band.Count)));
        var (re, im) = (new float[transform.Length], new float[transform.Length]);
        var sum = 0.0;
        for (var i = 0; i < band.Count; i++)
        {
            (re[i], im[i]) = ((float)(window[i] * band.Re[i]), (float)(window[i] * band.Im[i]));
            sum += window[i];
        }
        transform.Forward(re, im);
        BinHz = band.RateHz / transform.Length;
        _power = new double[transform.Length];
        // A sine of peak A turns with magnitude A: its mean square is half of |X ÷ Σw|².
        for (var k = 0; k < _power.Length; k++)
            _power[k] = ((double)re[k] * re[k] + (double)im[k] * im[k]) / (2 * sum * sum);
        _centreHz = band.CentreHz;
        _crestHz = CrestShare * band.RateHz / band.Count;
    }

    private readonly double _centreHz;
    private readonly double _crestHz;

    internal double BinHz { get; }

    /// <summary>Mean square of a sine at a frequency.</summary>
    internal double PowerAt(double frequencyHz) => _power[Index(frequencyHz)];

    /// <summary>
    /// The same at the crest of a line there: noise in ten lines leaves the mains frequency known to a tenth of a bin only. The crest of the window
    /// is a parabola of the logarithm; read at the nearest bin alone, a line would come out up to 0.02 dB too low.
    /// </summary>
    internal double PeakAbout(double frequencyHz)
    {
        var best = Index(frequencyHz);
        var reach = (int)(_crestHz / BinHz);
        for (var offset = -reach; offset <= reach; offset++)
        {
            var here = Wrapped(Index(frequencyHz) + offset);
            if (_power[here] > _power[best])
                best = here;
        }
        var (a, b, c) = (_power[Wrapped(best - 1)], _power[best], _power[Wrapped(best + 1)]);
        if (!(a > 0 && b >= a && b >= c && c > 0 && b * b > a * c))
            return b;
        var (left, right) = (Math.Log(a / b), Math.Log(c / b));
        return b * Math.Exp(-(left - right) * (left - right) / (8 * (left + right)));
    }

    /// <summary>What noise alone would read there, on the average: from the median about it, which lines do not move.</summary>
    internal double FloorAbout(double frequencyHz)
    {
        var values = new List<double>();
        for (var offset = OwnHz; offset < AboutHz; offset += BinHz)
        {
            if (frequencyHz - offset > 2)
                values.Add(PowerAt(frequencyHz - offset));
            values.Add(PowerAt(frequencyHz + offset));
        }
        // The power of noise at one frequency is distributed exponentially: its median is ln 2 of its mean.
        return HeardTone.Median(values.ToArray()) / Math.Log(2);
    }

    private int Index(double frequencyHz) => Wrapped((int)Math.Round((frequencyHz - _centreHz) / BinHz));

    private int Wrapped(int index) => (index % _power.Length + _power.Length) % _power.Length;
}
