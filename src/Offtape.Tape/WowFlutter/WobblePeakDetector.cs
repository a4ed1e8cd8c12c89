namespace Offtape.Tape;

/// <summary>
/// The older readout of IEC 60386 and AES6-1982, deprecated since AES6-2008: peak to peak with the dynamics of a pointer. One detector for
/// each sign charges by a time constant and discharges by another; half of their sum is shown, and a steady 4 Hz reads its peak.
/// </summary>
/// <remarks>
/// The two time constants are chosen so that the published figures are met: single pulses of 60 ms a second apart read 90 % of a 4 Hz
/// sine as high from peak to peak, and the reading falls to 40 % between pulses of 100 ms (abstract of AES6-1982). With two constants the
/// rows for 10, 30 and 100 ms, known only from memory (21, 62, 100 %), come out as 25, 60 and 111 %.
/// </remarks>
public sealed class WobblePeakDetector
{
    public const double ChargeSeconds = 0.07170;

    public const double DischargeSeconds = 0.98222;

    private const double ReferenceHz = 4;

    private readonly double _charge;
    private readonly double _discharge;
    private readonly double _gain;
    private double _above;
    private double _below;

    /// <param name="rateHz">Values in a second, at least <see cref="WowFlutterWeighting.LowestRateHz"/>.</param>
    public WobblePeakDetector(double rateHz)
        : this(rateHz, 1)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(rateHz, WowFlutterWeighting.LowestRateHz);
        _gain = 1 / OfReference(rateHz);
    }

    private WobblePeakDetector(double rateHz, double gain)
    {
        _charge = 1 - Math.Exp(-1 / (rateHz * ChargeSeconds));
        _discharge = 1 - Math.Exp(-1 / (rateHz * DischargeSeconds));
        _gain = gain;
    }

    /// <summary>One value of the weighted deviation; what the pointer shows then.</summary>
    public double Process(double value)
    {
        _above = Follow(_above, value);
        _below = Follow(_below, -value);
        return 0.5 * _gain * (_above + _below);
    }

    /// <summary>Back to rest, as newly made.</summary>
    public void Reset() => _above = _below = 0;

    private double Follow(double held, double value) => held + (value > held ? _charge * (value - held) : -_discharge * held);

    private static double OfReference(double rateHz)
    {
        var detector = new WobblePeakDetector(rateHz, 1);
        var highest = 0.0;
        // Eight seconds: the slower time constant has died away to 0.03 %.
        var count = (int)(9 * rateHz);
        for (var i = 0; i < count; i++)
        {
            var shown = detector.Process(Math.Sin(2 * Math.PI * ReferenceHz * i / rateHz));
            highest = i > 8 * rateHz ? Math.Max(highest, shown) : 0;
        }
        return highest;
    }
}
