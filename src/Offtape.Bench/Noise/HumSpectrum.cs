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

    /// <summary>The same at the crest of a line there: noise in ten lines leaves the mains frequency known to a tenth of a bin only.</summary>
    internal double PeakAbout(double frequencyHz)
    {
        var peak = 0.0;
        for (var offset = -_crestHz; offset <= _crestHz; offset += BinHz)
            peak = Math.Max(peak, PowerAt(frequencyHz + offset));
        return peak;
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

    private int Index(double frequencyHz)
    {
        var k = (int)Math.Round((frequencyHz - _centreHz) / BinHz) % _power.Length;
        return k < 0 ? k + _power.Length : k;
    }
}
