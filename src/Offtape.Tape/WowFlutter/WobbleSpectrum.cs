using Offtape.Signal;

namespace Offtape.Tape;

/// <summary>
/// How the power of a curve of speed is spread over frequency: one Hann-windowed transform of all of it, without its straight line. The
/// values add up to the curve's mean square.
/// </summary>
public sealed class WobbleSpectrum
{
    private readonly double[] _power;

    private WobbleSpectrum(double[] power, double binHz, double lengthSeconds) =>
        (_power, BinHz, LengthSeconds) = (power, binHz, lengthSeconds);

    public double BinHz { get; }

    /// <summary>Length of the curve; two things closer than two turns in this time are one.</summary>
    public double LengthSeconds { get; }

    /// <summary>A line reaches this far to either side of itself: the main lobe of the window.</summary>
    public double LobeHz => 2 / LengthSeconds;

    public int BinCount => _power.Length;

    /// <summary>Mean square of a bin, in the curve's unit squared.</summary>
    public double this[int bin] => _power[bin];

    /// <param name="values">The curve, at least 16 values.</param>
    /// <param name="rateHz">Values in a second.</param>
    public static WobbleSpectrum Of(ReadOnlySpan<double> values, double rateHz)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(values.Length, 16);
        // At least twice as fine as the window resolves, so that a peak is not missed between two bins.
        var length = TransformLength.AtLeast(2 * values.Length);
        var rest = StraightLine.Without(values);
        var window = new double[rest.Length];
        Windows.Hann(window, WindowForm.Periodic);
        var (frame, squares) = (new float[length], 0.0);
        for (var i = 0; i < rest.Length; i++)
        {
            frame[i] = (float)(rest[i] * window[i]);
            squares += window[i] * window[i];
        }
        var transform = new RealTransform(length);
        var (re, im) = (new float[transform.BinCount], new float[transform.BinCount]);
        transform.Forward(frame, re, im);
        var power = new double[transform.BinCount];
        for (var k = 0; k < power.Length; k++)
            power[k] = 2 * ((double)re[k] * re[k] + (double)im[k] * im[k]) / (length * squares);
        return new(power, rateHz / length, rest.Length / rateHz);
    }

    /// <summary>Mean square between two frequencies, each bin multiplied by a factor; a factor that is no number leaves the bin out.</summary>
    public double PowerBetween(double fromHz, double toHz, Func<double, double>? factorAt = null)
    {
        var sum = 0.0;
        for (var k = Math.Max(0, (int)Math.Ceiling(fromHz / BinHz)); k < _power.Length && k * BinHz < toHz; k++)
        {
            var factor = factorAt?.Invoke(k * BinHz) ?? 1;
            sum += double.IsFinite(factor) ? factor * _power[k] : 0;
        }
        return sum;
    }

    /// <summary>The middle one of the bins about a frequency, the line at its centre left out: what is there between lines.</summary>
    internal double FloorAt(double frequencyHz)
    {
        var reach = Math.Max(10 / LengthSeconds, 0.12 * frequencyHz);
        var from = Math.Max(1, (int)((frequencyHz - reach) / BinHz));
        var to = Math.Min(_power.Length - 1, (int)((frequencyHz + reach) / BinHz));
        // Neighbouring bins tell the same: some hundred of them are enough.
        var step = Math.Max(1, (to - from) / 256);
        var picked = new List<double>(260);
        for (var k = from; k <= to; k += step)
            if (Math.Abs(k * BinHz - frequencyHz) > LobeHz)
                picked.Add(_power[k]);
        if (picked.Count == 0)
            return 0;
        picked.Sort();
        return picked[picked.Count / 2];
    }
}
